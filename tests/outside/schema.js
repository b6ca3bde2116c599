/* schema.js - the schemas that `evenbreath schema` prints, tried with a validator that is not ours
 *
 *   node schema.js PROGRAM SOURCE
 *
 * What the program reads an editor must not underline: every example and every house of
 * tests/houses/. What it refuses (tests/bad/, tests/readings/wrong-*.yaml) the schema must refuse
 * too, but for the mistakes listed here with the reason why no schema sees them. */
'use strict';
const fs = require('fs');
const path = require('path');
const { execFileSync, spawnSync } = require('child_process');
const Ajv = require('ajv');
const YAML = require('yaml');

const [, , program, source] = process.argv;
let passed = 0;
let failed = 0;

function say(good, name, why) {
  if (good) passed++;
  else failed++;
  if (!good) console.log(`not ok ${name}: ${why}`);
}

const ajv = new Ajv({ allErrors: true, strict: true, allowUnionTypes: true, strictTuples: false });
const check = {};
for (const kind of ['house', 'readings'])
  check[kind] = ajv.compile(JSON.parse(execFileSync(program, ['schema', kind], { encoding: 'utf8' })));

/* As an editor sees it: YAML 1.2, the errors of syntax apart. */
function load(file) {
  const lines = new YAML.LineCounter();
  const document = YAML.parseDocument(fs.readFileSync(file, 'utf8'),
    { version: '1.2', lineCounter: lines });
  return {
    broken: document.errors.length > 0, value: document.toJS({ maxAliasCount: -1 }), document, lines,
  };
}

/* The line that an error of the validator stands at: of the unknown key, else of the value. */
function lineOf({ document, lines }, error) {
  const steps = error.instancePath.split('/').slice(1)
    .map((step) => step.replace(/~1/g, '/').replace(/~0/g, '~'));
  const extra = error.params.additionalProperty;
  let node = document.contents;
  for (const step of steps) {
    if (YAML.isAlias(node)) node = node.resolve(document);
    const pair = YAML.isMap(node) && node.items.find((one) => String(one.key) === step);
    node = pair ? pair.value : YAML.isSeq(node) ? node.items[Number(step)] : null;
  }
  if (extra !== undefined && YAML.isMap(node)) {
    const pair = node.items.find((one) => String(one.key) === extra);
    node = pair ? pair.key : node;
  }
  return node && node.range ? lines.linePos(node.range[0]).line : 0;
}

function kindOf(value) {
  return value && typeof value === 'object' && 'rounds' in value ? 'readings' : 'house';
}

function problems(kind, value) {
  if (check[kind](value)) return '';
  return check[kind].errors.slice(0, 3).map((e) => `${e.instancePath} ${e.message}`).join('; ');
}

function filesOf(folder) {
  return fs.readdirSync(path.join(source, folder)).filter((name) => name.endsWith('.yaml')).sort()
    .map((name) => path.join(source, folder, name));
}

/* ---- What is read ---- */

for (const file of [...filesOf('examples'), ...filesOf('tests/houses')]) {
  const { value } = load(file);
  if ('table' in value) continue; /* a table of the user's own beside its house */
  const kind = kindOf(value);
  if (kind === 'house' && spawnSync(program, ['check', file]).status === 3) {
    say(false, file, 'the program does not read it');
    continue;
  }
  const why = problems(kind, value);
  say(!why, file, why);
}

/* ---- What is refused ---- */

const SYNTAX = 'what YAML itself does not allow shows before any schema';
const NAMES = 'which names there are stands elsewhere in the file, or in a table';
const SUMS = 'several values decide together';
const TABLE = 'what stands in another file';
const unseen = {
  'alias-unknown': SYNTAX, 'at-sign': SYNTAX, 'brace-open': SYNTAX, 'bracket-open': SYNTAX,
  'colon-blank-block': SYNTAX, 'cr-only': SYNTAX, documents: SYNTAX, 'duplicate-key': SYNTAX,
  escape: SYNTAX, indentation: SYNTAX, 'percent-sign': SYNTAX, 'quote-open': SYNTAX, tab: SYNTAX,
  'very-long-name': SYNTAX, tag: 'tags are gone once YAML is read',
  'alias-works': 'nothing is wrong with it', backwards: 'nothing but warnings',
  'long-name': 'a schema counts letters, the program bytes',
  'climate-csv': TABLE, 'table-path': TABLE, tables: TABLE,
  'leakage-area': SUMS, shares: SUMS,
  'lonely-junction': NAMES, 'loop-without-fan': NAMES, 'missing-room': NAMES,
  'unreachable-terminal': NAMES,
};

/* Mistakes of these kinds are seen at the line where the program sees them. */
const seenCodes = ['key-unknown', 'unknown-key', 'key-missing', 'unit-missing', 'unit-unknown',
  'unit-wrong', 'word-unknown', 'kind-wrong', 'value-missing', 'number-form', 'number-missing',
  'decimal-comma', 'columns', 'list-length', 'not-whole'];

const TOGETHER = 'keys of one mapping that ask for one another';
const unseenLines = {
  'fittings:9': TOGETHER, 'levels:5': TOGETHER, 'openings:14': TOGETHER, 'room-size:2': TOGETHER,
  'valves:9': TOGETHER, 'laid:18': TABLE, 'valves:10': TABLE,
  'numbers:4': '0x3 is a number to YAML', 'openings:15': 'how many points a curve needs',
};

function eachLine(file, name, loaded, kind) {
  const expect = fs.readFileSync(file.replace(/yaml$/, 'expect'), 'utf8').split('\n');
  check[kind](loaded.value);
  const seen = new Set((check[kind].errors || []).map((error) => lineOf(loaded, error)));
  for (const line of expect) {
    const found = /^(\d+):(\d+) error (\S+) (.*)/.exec(line);
    if (!found || !seenCodes.includes(found[3])) continue;
    const hidden = `${name}:${found[1]}` in unseenLines;
    say(seen.has(Number(found[1])) !== hidden, `${file}:${found[1]}`,
      `${hidden ? 'listed as unseen, but seen' : 'not seen'}: ${found[3]} ${found[4]}`);
  }
}

for (const file of [...filesOf('tests/bad'), ...filesOf('tests/readings')
  .filter((name) => path.basename(name).startsWith('wrong'))]) {
  const name = path.basename(file, '.yaml');
  let loaded;
  try {
    loaded = load(file);
  } catch (error) {
    loaded = { broken: true };
  }
  const kind = kindOf(loaded.value);
  const seen = loaded.broken ? '' : problems(kind, loaded.value);
  if (name in unseen) say(!seen, file, `listed as unseen (${unseen[name]}), but: ${seen}`);
  else say(seen, file, loaded.broken ? 'not YAML, and not listed' : 'the schema takes it');
  if (!(name in unseen) && !loaded.broken) eachLine(file, name, loaded, kind);
}

console.log(`${passed} passed, ${failed} failed`);
process.exit(failed ? 1 : 0);
