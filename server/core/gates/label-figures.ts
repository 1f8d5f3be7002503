import { localOf } from '../calendar/zone.ts';
import type { UnitState } from '../facts/unit-state.ts';
import type { LabelFigures, LabelKind, LabelSetup } from '../setup/labels.ts';
import type { Plant } from '../setup/plant.ts';
import { isFor, type LimitConfirmed } from '../setup/quality.ts';
import type { Instant } from '../units.ts';
import { faultsOf, type LabelFault } from './label-faults.ts';
import { kilograms, limitOf, pressureText, ratingText, volumeText, waterWeight, weightText } from './label-units.ts';
import { vinFaultCodes } from './vin.ts';

/** Why a figure is not there: `noFigures` the set-up has none for the build, `notStated` it leaves this one out, `notWeighed`, `noVin`, `vinWrong`, `notBuilt` of the unit. */
export type FigureMissing = 'noFigures' | 'notStated' | 'notWeighed' | 'noVin' | 'vinWrong' | 'notBuilt';

export type FigureName = 'maker' | 'manufactured' | 'gvwr' | 'gawr' | 'conformity' | 'vin' | 'type' | 'cargo' | 'tire' | 'rim' | 'pressure' | 'spare' | 'water' | 'waterWeight';

export interface LabelFigure {
  name: FigureName;
  /** Of which axle from the front, 1 the first; null for the unit's. */
  axle: number | null;
  /** '' while it is missing. */
  value: string;
  missing: FigureMissing | null;
}

export interface UnitLabels {
  /** In the order in which the rule wants them. */
  labels: { label: LabelKind; figures: LabelFigure[] }[];
  /** 49 CFR 571.110 up to 10,000 lb GVWR, 571.120 above; null without figures. */
  tireRule: '571.110' | '571.120' | null;
  faults: LabelFault[];
  confirmed: LimitConfirmed | null;
}

const LIGHT_KG = kilograms({ lb: 10_000 });

/** The figures for a build: the last entry that is for it, null where there is none. */
export function figuresFor(setup: LabelSetup, { model, options }: Pick<UnitState, 'model' | 'options'>): LabelFigures | null {
  return setup.figures.findLast((figures) => isFor(figures, model, options)) ?? null;
}

/** What may be loaded: GVWR less the unit as weighed and full LP-gas cylinders (72 FR 68442); null while it is not weighed. May be below 0. */
export function cargoKilograms({ gvwr, lpGas }: LabelFigures, { weighed }: Pick<UnitState, 'weighed'>): number | null {
  return weighed === null ? null : kilograms(gvwr) - kilograms(weighed.weight) - kilograms(lpGas ?? {});
}

/**
 * The figures of a unit's labels, what is missing of them, and what cannot be. `manufactured`: when it passed the count point at which it counts
 * as manufactured, or null. Null for a plant that has no labels in its set-up.
 */
export function unitLabels(plant: Plant, state: UnitState, manufactured: Instant | null): UnitLabels | null {
  const setup = plant.labels;
  if (!setup) return null;
  const figures = figuresFor(setup, state);
  const tireRule = figures === null ? null : kilograms(figures.gvwr) <= LIGHT_KG ? '571.110' : '571.120';
  const cargo = figures && cargoKilograms(figures, state);
  const of: Of = { setup, figures, vin: vinFigure(state), cargo: cargoFigure(figures, cargo) };
  const month = manufactured === null ? null : localOf(plant.timeZone, manufactured).date;
  return {
    labels: [
      { label: 'certification', figures: certification(of, month) }, { label: 'tires', figures: tires(of, tireRule) }, { label: 'cargo', figures: cargoLabel(of) },
    ],
    tireRule, faults: figures ? faultsOf(figures, cargo) : [], confirmed: figures?.confirmed ?? null,
  };
}

interface Of { setup: LabelSetup; figures: LabelFigures | null; vin: LabelFigure; cargo: LabelFigure }

/** 49 CFR 567.4(g), in its order. */
function certification({ setup, figures, vin }: Of, month: string | null): LabelFigure[] {
  return [
    figure('maker', setup.maker, 'notStated'),
    figure('manufactured', month === null ? '' : `${month.slice(5, 7)}/${month.slice(0, 4)}`, 'notBuilt'),
    figure('gvwr', figures ? ratingText(figures.gvwr) : '', 'noFigures'),
    ...eachAxle(figures, 'gawr', ({ gawr }) => ratingText(gawr)),
    figure('conformity', setup.conformity ?? '', 'notStated'), vin, figure('type', setup.vehicleType, 'notStated'),
  ];
}

/** 571.110 S4.3.5: cargo, tires and pressures, the spare's too. 571.120 wants the rims and the weight of each axle beside the tires (from memory). */
function tires({ figures, cargo }: Of, rule: UnitLabels['tireRule']): LabelFigure[] {
  if (figures === null) return [cargo, figure('tire', '', 'noFigures'), figure('pressure', '', 'noFigures')];
  const heavy = rule === '571.120';
  const ofAxles = figures.axles.flatMap(({ gawr, tire }, i): LabelFigure[] => [
    ...(heavy ? [figure('gawr', ratingText(gawr), 'noFigures', i + 1)] : []),
    figure('tire', tire.size, 'notStated', i + 1), ...(heavy ? [figure('rim', tire.rim, 'notStated', i + 1)] : []), figure('pressure', pressureText(tire.coldPressure), 'notStated', i + 1),
  ]);
  const { spare } = figures;
  return [...(heavy ? [] : [cargo]), ...ofAxles, ...(spare ? [figure('spare', `${spare.size} ${pressureText(spare.coldPressure)}`, 'notStated')] : [])];
}

/** 72 FR 68442: VIN, cargo, and what the water of a full tank weighs. */
function cargoLabel({ figures, vin, cargo }: Of): LabelFigure[] {
  const water = figures?.freshWater;
  return [vin, cargo, ...(water ? [figure('water', volumeText(water), 'notStated'), figure('waterWeight', weightText(waterWeight(water)), 'notStated')] : [])];
}

function eachAxle(figures: LabelFigures | null, name: FigureName, say: (axle: LabelFigures['axles'][number]) => string): LabelFigure[] {
  return figures ? figures.axles.map((axle, i) => figure(name, say(axle), 'noFigures', i + 1)) : [figure(name, '', 'noFigures')];
}

function vinFigure({ vin }: UnitState): LabelFigure {
  if (vin === null) return figure('vin', '', 'noVin');
  return vinFaultCodes(vin) === '' ? figure('vin', vin, 'noVin') : figure('vin', '', 'vinWrong');
}

function cargoFigure(figures: LabelFigures | null, cargo: number | null): LabelFigure {
  if (figures === null) return figure('cargo', '', 'noFigures');
  return figure('cargo', cargo === null ? '' : weightText(limitOf(cargo)), 'notWeighed');
}

function figure(name: FigureName, value: string, otherwise: FigureMissing, axle: number | null = null): LabelFigure {
  return { name, axle, value, missing: value === '' ? otherwise : null };
}
