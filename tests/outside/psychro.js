// psychro.js - compares moist air with psychrolib (npm: psychrolib)
//
//   NODE_PATH=FOLDER/node_modules node psychro.js RUN_CASES   (the built tests/run_cases, --eval)
//
// One line for each comparison, then "N passed, N failed"; exit status 1 on any failure.
//
// The states are random with a fixed seed. psychrolib finds dew points and wet bulbs only to a
// thousandth of a kelvin: its bisection of the wet bulb is as far off as that, its Newton's steps of
// the dew point, which end once they are that small, are far less so. So ours are also put back into its own formulas, which are exact.
// Exchanger and coil are balances of ours; here they are solved anew, by bisection, with
// psychrolib's states.

"use strict";
const { execFileSync } = require("node:child_process");
const psychro = require("psychrolib");
const { between } = require("./network_draw.js");
const program = process.argv[2];

psychro.SetUnitSystem(psychro.SI);

const STATES = 4000;

let passed = 0, failed = 0;

function report(good, what) {
  if (good) passed++;
  else failed++;
  console.log(`${good ? "ok" : "not ok"} - ${what}`);
}

// All results of `method` at each point; a single word where it fails.
function ask(method, points) {
  const input = points.map((point) => `${method} ${point.join(" ")}\n`).join("");
  const lines = execFileSync(program, ["--eval"], { input, encoding: "utf8", maxBuffer: 1 << 28 })
    .split("\n").slice(0, -1);
  if (lines.length !== points.length) throw new Error(`${method}: ${lines.length} answers`);
  return lines.map((line) => line.split(" ").map(Number));
}

// `differ(ours, point)` gives the difference of one point, to be no more than `limit`.
function compare(what, method, points, limit, differ) {
  const differences = ask(method, points).map((ours, i) => Math.abs(differ(ours, points[i])));
  const worst = differences.reduce((a, b) => (b <= a ? a : b), 0);
  const where = points[differences.indexOf(worst)];
  report(points.length > 100 && worst <= limit, `${what}, ${points.length} states: `
    + `worst ${worst.toExponential(1)} (limit ${limit})`
    + (worst <= limit ? "" : ` at ${where.join(" ")}`));
}

const off = (ours, theirs) => (ours - theirs) / theirs;

// ---- States ----

const draw = () => ({ t: between(-20, 50), humidity: between(0.01, 1), p: between(60e3, 105e3) });
const states = Array.from({ length: STATES }, draw);
const ratioOf = ({ t, humidity, p }) => psychro.GetHumRatioFromRelHum(t, humidity, p);
const byHumidity = states.map(({ t, humidity }) => [t, humidity]);
const byHumidityAndPressure = states.map(({ t, humidity, p }) => [t, humidity, p]);
const byRatio = states.map((s) => [s.t, ratioOf(s), s.p]);

function compareStates() {
  compare("vapour pressure at saturation", "moist.saturation", byHumidity.map(([t]) => [t]), 1e-12,
    ([ours], [t]) => off(ours, psychro.GetSatVapPres(t)));
  compare("the same over water", "moist.saturation_water",
    byHumidity.filter(([t]) => t > 0.01).map(([t]) => [t]), 1e-12,
    ([ours], [t]) => off(ours, psychro.GetSatVapPres(t)));
  compare("vapour pressure", "moist.vapour", byHumidity, 1e-12,
    ([ours], [t, humidity]) => off(ours, psychro.GetVapPresFromRelHum(t, humidity)));
  compare("humidity ratio", "moist.ratio", byHumidityAndPressure, 1e-12,
    ([ours], [t, humidity, p]) => off(ours, psychro.GetHumRatioFromRelHum(t, humidity, p)));
  compare("relative humidity", "moist.relative_humidity", byRatio, 1e-12,
    ([ours], [t, w, p]) => off(ours, psychro.GetRelHumFromHumRatio(t, w, p)));
  compare("enthalpy, of the heat of its parts", "moist.enthalpy", byRatio.map(([t, w]) => [t, w]),
    1e-12, ([ours], [t, w]) =>
      (ours - psychro.GetMoistAirEnthalpy(t, w)) / (1006 * Math.abs(t) + 2501e3 * w));
  compare("volume", "moist.volume", byRatio, 1e-12,
    ([ours], [t, w, p]) => off(ours, psychro.GetMoistAirVolume(t, w, p)));
}

function compareDewPoint() {
  compare("dew point, in K", "moist.dew_point", byHumidity, 1e-6,
    ([ours], [t, humidity]) => ours - psychro.GetTDewPointFromRelHum(t, humidity));
  compare("dew point, vapour that saturates there", "moist.dew_point", byHumidity, 1e-9,
    ([ours], [t, humidity]) =>
      off(psychro.GetSatVapPres(ours), psychro.GetVapPresFromRelHum(t, humidity)));
}

// Air that has both a wet bulb from 0 C and a frozen one below it, of which psychrolib takes the
// one on which its bisection happens.
function hasTwoBulbs([t, w, p]) {
  return t >= 0 && psychro.GetHumRatioFromTWetBulb(t, 0, p) <= w
    && w < psychro.GetHumRatioFromTWetBulb(t, -1e-12, p);
}

function compareWetBulb() {
  const one = byRatio.filter((point) => !hasTwoBulbs(point));
  const two = states.map(({ humidity, p }) => ({ t: between(0, 9), humidity: humidity / 2, p }))
    .map((s) => [s.t, ratioOf(s), s.p]).filter(hasTwoBulbs);
  compare("wet bulb, in K", "moist.wet_bulb", one, 1e-3,
    ([ours], [t, w, p]) => ours - psychro.GetTWetBulbFromHumRatio(t, w, p));
  compare("wet bulb, humidity ratio of it", "moist.wet_bulb", byRatio, 1e-9,
    ([ours], [t, w, p]) => off(psychro.GetHumRatioFromTWetBulb(t, Math.min(ours, t), p), w));
  compare("wet bulb, the wet one of two, degrees below 0 C", "moist.wet_bulb", two, 0,
    ([ours]) => Math.min(ours, 0));
}

// ---- Surfaces ----

const rooms = states.map(({ humidity }) => [between(15, 27), humidity, between(-20, 14)]);

function compareSurfaces() {
  const walls = rooms.map((room) => [...room, between(0, 1)]);
  compare("humidity at a surface", "surface.humidity", walls, 1e-12,
    ([ours], [indoor, humidity, outdoor, factor]) =>
      off(ours, psychro.GetRelHumFromVapPres(outdoor + factor * (indoor - outdoor),
        psychro.GetVapPresFromRelHum(indoor, humidity))));
  const limits = rooms.map((room) => [...room, between(0.6, 1)]);
  compare("least fRsi, vapour at that surface", "surface.factor", limits, 1e-9,
    ([ours], [indoor, humidity, outdoor, limit]) =>
      off(limit * psychro.GetSatVapPres(outdoor + ours * (indoor - outdoor)),
        psychro.GetVapPresFromRelHum(indoor, humidity)));
}

// ---- Air that drops water ----

// J/kg of water, and of ice: 333.6 kJ/kg less at 0 C.
const water = (t) => 4186 * t, ice = (t) => 2100 * t - 333.6e3;

// The end of air that gives off `heat` [J/kg]: temperature, humidity ratio and the share of its
// water that froze. At 0 C the balance jumps by the heat of melting, and bisection ends there.
function cooled(t, w, heat, p) {
  const left = psychro.GetMoistAirEnthalpy(t, w) - heat;
  const dry = psychro.GetTDryBulbFromEnthalpyAndHumRatio(left, w);
  if (psychro.GetSatHumRatio(dry, p) >= w) return { t: dry, dry, w, frozen: 0 };
  const over = (end, drops) => {
    const saturated = psychro.GetSatHumRatio(end, p);
    return psychro.GetMoistAirEnthalpy(end, saturated) + (w - saturated) * drops(end) - left;
  };
  let low = dry, high = t;
  for (let i = 0; i < 80; i++) {
    const middle = (low + high) / 2;
    if (over(middle, middle < 0 ? ice : water) > 0) high = middle;
    else low = middle;
  }
  const wet = over(0, water), frozen = over(0, ice);
  const halts = Math.abs(low) < 1e-9 && wet > 0 && frozen < 0;
  return { t: low, dry, w: psychro.GetSatHumRatio(low, p),
    frozen: halts ? wet / (wet - frozen) : low < 0 ? 1 : 0 };
}

const perKelvin = (w) => 1006 + 1860 * w;
const most = (list) => list.reduce((a, b) => (Math.abs(b) <= a ? a : Math.abs(b)), 0);

function exchange([outdoor, outdoorHumidity, extract, humidity, flow, ratio, p]) {
  const fresh = psychro.GetHumRatioFromRelHum(outdoor, outdoorHumidity, p);
  const w = psychro.GetHumRatioFromRelHum(extract, humidity, p);
  const mass = flow / psychro.GetMoistAirVolume(extract, w, p);
  const heat = ratio * perKelvin(fresh) * (extract - outdoor);
  const end = cooled(extract, w, heat, p), drops = mass * (w - end.w);
  return { mass, heat: mass * heat, supply: outdoor + ratio * (extract - outdoor), end, drops };
}

function compareExchanger() {
  const points = rooms.map(([indoor, humidity, outdoor]) => [outdoor, between(0.3, 1), indoor,
    humidity, between(0.01, 0.12), between(0.4, 1), between(60e3, 105e3)]);
  const all = "exchanger_wet.all", theirs = points.map(exchange);
  const at = new Map(points.map((point, i) => [point, theirs[i]]));
  compare("exchanger, heat", all, points, 1e-12, ([heat], point) => off(heat, at.get(point).heat));
  compare("exchanger, temperatures in K", all, points, 1e-8, ([, supply, exhaust, dry], point) => {
    const x = at.get(point);
    return most([supply - x.supply, exhaust - x.end.t, dry - x.end.dry]);
  });
  compare("exchanger, water and ice, of the dry air's mass", all, points, 1e-10,
    ([, , , , drops, latent, frost], point) => {
      const x = at.get(point);
      return most([drops - x.drops, latent / 2501e3 - x.drops, frost - x.end.frozen * x.drops])
        / x.mass;
    });
  const kinds = [theirs.filter((x) => x.drops === 0), theirs.filter((x) => x.end.frozen === 1),
    theirs.filter((x) => x.drops > 0 && x.end.frozen === 0),
    theirs.filter((x) => x.end.frozen > 0 && x.end.frozen < 1)].map((list) => list.length);
  report(kinds.every((count) => count > 5),
    `of these ${kinds[0]} stay dry, ${kinds[2]} drop water, ${kinds[1]} ice, ${kinds[3]} both`);
}

function compareMoisture() {
  const points = rooms.map(([indoor, humidity, outdoor]) => [outdoor, between(0.3, 1), indoor,
    humidity, between(0.5, 1), between(0.2, 0.8), between(60e3, 105e3)]);
  compare("moisture core, enthalpy handed over, of the heat of its parts", "exchanger_moisture.total",
    points, 1e-12, ([total], [outdoor, outdoorHumidity, indoor, humidity, heat, moisture, p]) => {
      const fresh = psychro.GetHumRatioFromRelHum(outdoor, outdoorHumidity, p);
      const w = psychro.GetHumRatioFromRelHum(indoor, humidity, p);
      const supply = outdoor + heat * (indoor - outdoor);
      const end = Math.min(fresh + moisture * (w - fresh), psychro.GetSatHumRatio(supply, p));
      const before = psychro.GetMoistAirEnthalpy(outdoor, fresh);
      const all = psychro.GetMoistAirEnthalpy(indoor, w) - before;
      const gained = psychro.GetMoistAirEnthalpy(supply, end) - before;
      return (total * all - gained) / (1006 * (indoor - outdoor) + 2501e3 * Math.abs(w - fresh));
    });
}

function compareCoil() {
  const points = states.map(({ humidity, p }) => [between(15, 36), humidity, between(0.02, 0.1),
    between(0, 700), p]);
  compare("coil, outlet in K, water of the dry air's mass and sensible share", "coil.all", points,
    1e-8, ([outlet, ratio, drops, share], [t, humidity, flow, cooling, p]) => {
      const w = psychro.GetHumRatioFromRelHum(t, humidity, p);
      const mass = flow / psychro.GetMoistAirVolume(t, w, p), heat = cooling / mass;
      const end = cooled(t, w, heat, p);
      const sensible = end.w < w ? (perKelvin(w) * (t - end.t)) / heat : 1;
      return most([outlet - end.t, ratio - end.w, drops / mass - (w - end.w), share - sensible]);
    });
}

// A difference of one in a million is seen.
function compareSensitivity() {
  const [first] = ask("moist.ratio", byHumidityAndPressure.map(([t, humidity, p]) =>
    [t, humidity * (1 - 1e-6), p]));
  const seen = Math.abs(off(first[0], ratioOf(states[0])));
  report(seen > 1e-7, `a humidity less by 1e-6 is seen: ${seen.toExponential(1)}`);
}

try {
  compareStates();
  compareDewPoint();
  compareWetBulb();
  compareSurfaces();
  compareExchanger();
  compareMoisture();
  compareCoil();
  compareSensitivity();
} catch (error) {
  report(false, error.message);
}
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed > 0 || passed === 0 ? 1 : 0;
