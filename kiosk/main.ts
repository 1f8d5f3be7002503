import { StationhandApp } from './app.ts';
import { loadPreferences } from './data/preferences.ts';
import { installTokens } from './styles/tokens.ts';

installTokens(document);
loadPreferences();
document.body.append(new StationhandApp());
