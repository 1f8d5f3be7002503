import type { Plant } from '../core/setup/plant.ts';
import type { PlantProblem } from './plant-checks.ts';

/** What the labels of a set-up name that there is not: the item at which a unit is weighed, items that sign them, a count point, models and options. */
export function labelProblems(plant: Plant): PlantProblem[] {
  const { labels } = plant;
  const problems: PlantProblem[] = [];
  const wrong = (path: PlantProblem['path'], message: string): void => void problems.push({ path: ['labels', ...path], message });
  const items = (plant.checks ?? []).flatMap((check) => check.items.map((item) => ({ check: check.code, item })));
  if (!labels) {
    const signing = items.find(({ item }) => item.label !== undefined);
    if (signing) wrong([], `the item ${signing.item.code} of the check ${signing.check} signs a label, and the plant has no labels`);
    return problems;
  }
  const weighed = items.find(({ check, item }) => check === labels.weighing.check && item.code === labels.weighing.item)?.item;
  if (weighed?.kind !== 'measured') wrong(['weighing'], `there is no measured item ${labels.weighing.item} in a check ${labels.weighing.check}`);
  else if (!['lb', 'kg'].includes(weighed.unit)) wrong(['weighing'], `is measured in ${weighed.unit}, not in lb or kg`);
  labels.required.forEach((label, i) => {
    if (labels.required.indexOf(label) < i) wrong(['required', i], `${label} stands twice`);
    else if (!items.some(({ item }) => item.label === label)) wrong(['required', i], `no item of a check signs the label ${label} as fitted`);
  });
  const point = plant.countPoints?.find(({ code }) => code === labels.manufactured);
  if (labels.manufactured !== undefined && (!point || (point.event !== 'offLine' && point.event !== 'finished'))) {
    wrong(['manufactured'], `there is no count point ${labels.manufactured} at which units are off the line or finished`);
  }
  labels.figures.forEach(({ models = [], options = [] }, i) => {
    models.forEach((model, j) => plant.models.some(({ code }) => code === model) || wrong(['figures', i, 'models', j], `there is no model ${model}`));
    options.forEach((option, j) => plant.options.some(({ code }) => code === option) || wrong(['figures', i, 'options', j], `there is no option ${option}`));
  });
  return problems;
}
