import fc from 'fast-check';
import { z } from 'zod';

/** What stands in a JSON Schema as zod writes it. */
interface Schema {
  type?: string;
  const?: unknown;
  enum?: unknown[];
  anyOf?: Schema[];
  oneOf?: Schema[];
  format?: string;
  properties?: Record<string, Schema>;
  required?: string[];
  items?: Schema;
  additionalProperties?: Schema | boolean;
  minimum?: number;
  maximum?: number;
  minItems?: number;
  maxItems?: number;
  minLength?: number;
  maxLength?: number;
}

/** What a text of a format, or of an entry with this name, is drawn from: what the plant has, so that some of it is known there. */
export type Pools = Readonly<Record<string, fc.Arbitrary<unknown>>>;

const ENTRIES = 3;

/** Values that `schema` takes, at least by its form. */
export function fromSchema(schema: z.ZodType, pools: Pools): fc.Arbitrary<unknown> {
  return valuesOf(z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' }) as Schema, '', pools);
}

function valuesOf(schema: Schema, name: string, pools: Pools): fc.Arbitrary<unknown> {
  if (schema.const !== undefined) return fc.constant(schema.const);
  if (schema.enum) return fc.constantFrom(...schema.enum);
  const several = schema.anyOf ?? schema.oneOf;
  if (several) return fc.oneof(...several.map((one) => valuesOf(one, name, pools)));
  if (schema.type === 'object') return objects(schema, name, pools);
  if (schema.type === 'array') return lists(schema, name, pools);
  if (schema.type === 'boolean') return fc.boolean();
  if (schema.type === 'null') return fc.constant(null);
  if (schema.type === 'integer' || schema.type === 'number') return numbers(schema);
  if (schema.type === 'string') return texts(schema, name, pools);
  return fc.jsonValue({ maxDepth: 1 });
}

function objects({ properties, required = [], additionalProperties }: Schema, name: string, pools: Pools): fc.Arbitrary<unknown> {
  if (properties) {
    const entries = Object.fromEntries(Object.entries(properties).map(([key, of]) => [key, valuesOf(of, key, pools)]));
    return fc.record(entries, { requiredKeys: required, noNullPrototype: true });
  }
  const values = typeof additionalProperties === 'object' ? valuesOf(additionalProperties, name, pools) : fc.jsonValue({ maxDepth: 1 });
  return fc.dictionary(fc.string({ minLength: 1, maxLength: 9 }), values, { maxKeys: ENTRIES, noNullPrototype: true });
}

function lists({ items = {}, minItems = 0, maxItems = ENTRIES }: Schema, name: string, pools: Pools): fc.Arbitrary<unknown> {
  return fc.array(valuesOf(items, name, pools), { minLength: minItems, maxLength: Math.max(minItems, Math.min(maxItems, ENTRIES)) });
}

function numbers({ type, minimum = -1e9, maximum = 1e9 }: Schema): fc.Arbitrary<number> {
  const edges = fc.constantFrom(minimum, maximum);
  const between = fc.integer({ min: Math.ceil(Math.max(minimum, -1e6)), max: Math.floor(Math.min(maximum, 1e6)) });
  return type === 'integer' ? fc.oneof({ weight: 4, arbitrary: between }, edges) : fc.oneof({ weight: 3, arbitrary: between }, edges, fc.double({ min: minimum, max: maximum, noNaN: true }));
}

function texts({ format, minLength = 0, maxLength = 12 }: Schema, name: string, pools: Pools): fc.Arbitrary<unknown> {
  const pool = pools[name] ?? pools[format ?? ''];
  const free = fc.string({ unit: 'grapheme', minLength, maxLength: Math.max(minLength, Math.min(maxLength, 12)) });
  return pool ?? fc.oneof({ weight: 4, arbitrary: free }, fc.constant('x'.repeat(Math.min(maxLength, 600))));
}
