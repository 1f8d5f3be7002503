import { type Change, flagOf, noChange } from './movement.ts';
import type { OpenCampaign, SignStep } from './quality-facts.ts';
import type { UnitState } from './unit-state.ts';

/** The unit is called in once by a campaign, whatever became of it since it was built. */
export function campaignOpened(state: UnitState, fact: OpenCampaign): Change {
  const { campaign, title, steps, happened } = fact;
  if (state.campaigns.some((one) => one.campaign === campaign)) return { ...noChange(state), flags: [flagOf(fact, state, 'twice', campaign)] };
  return noChange({ ...state, campaigns: [...state.campaigns, { campaign, title, opened: happened, steps: steps.map((text) => ({ text, done: null })) }] });
}

export function stepSigned(state: UnitState, fact: SignStep): Change {
  const open = state.campaigns.find(({ campaign }) => campaign === fact.campaign);
  const step = open?.steps[fact.step];
  if (!open || !step) return { ...noChange(state), flags: [flagOf(fact, state, 'unknownTarget', `${fact.campaign}/${fact.step}`)] };
  if (step.done !== null) return { ...noChange(state), flags: [flagOf(fact, state, 'twice', `${fact.campaign}/${fact.step}`)] };
  const done = { at: fact.happened, who: fact.who, note: fact.note };
  const signed = { ...open, steps: open.steps.map((one) => (one === step ? { ...one, done } : one)) };
  return noChange({ ...state, campaigns: state.campaigns.map((one) => (one === open ? signed : one)) });
}
