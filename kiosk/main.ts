import { StationhandApp } from './app.ts';
import { ensureDeviceId } from './data/device-id.ts';
import { loadPreferences } from './data/preferences.ts';
import { installTokens } from './styles/tokens.ts';

installTokens(document);
loadPreferences();
await ensureDeviceId();
document.body.append(new StationhandApp());
