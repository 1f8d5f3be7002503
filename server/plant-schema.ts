import { plantJsonSchema } from './contract/plant.ts';

// Prints the JSON Schema of a plant's document: seed/plant.schema.json is what this prints.
console.log(JSON.stringify(plantJsonSchema(), null, 2));
