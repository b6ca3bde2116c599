// networks.js - compares the network solver with EPANET (npm: epanet-js)
//
//   NODE_PATH=FOLDER/node_modules node networks.js NET_SOLVE   (the built tests/outside/net_solve)
//
// One line for each comparison, then "N passed, N failed"; exit status 1 on any failure.
//
// EPANET's law of friction is Darcy-Weisbach with 64/Re below Re 2000, a cubic of its own to
// 4000 and Swamee-Jain above; ours is 64/Re, another bridge and Colebrook-White. So networks are
// compared with ducts kept out of the bridges, and twice: as they are, where what differs is
// Swamee-Jain; and with that taken out, each length being stretched for EPANET by Colebrook-White
// over Swamee-Jain at the flow that EPANET itself finds, until nothing moves any more.

"use strict";
const { Network, area, chance, grid, ring, tree, whole } = require("./network_draw.js");
const { Epanet, ROUNDED, solveOurs, startEpanet } = require("./network_solvers.js");
const known = require("./known_networks.json");
const program = process.argv[2];

let passed = 0, failed = 0;

function report(good, what) {
  if (good) passed++;
  else failed++;
  console.log(`${good ? "ok" : "not ok"} - ${what}`);
}

const power = (x) => x.toExponential(1);
const most = (list) => list.reduce((a, b) => Math.max(a, Math.abs(b)), 0);

// ---- Laws of friction ----

const swameeJain = (re, rough) => 0.25 / Math.log10(rough / 3.7 + 5.74 / re ** 0.9) ** 2;

// Colebrook-White by Newton's method in 1/sqrt(f).
function colebrook(re, rough) {
  const c = 2 / Math.LN10, b = 2.51 / re;
  let x = 1 / Math.sqrt(swameeJain(re, rough));
  for (let i = 0; i < 8; i++) {
    const inside = rough / 3.7 + b * x;
    x -= (x + c * Math.log(inside)) / (1 + (c * b) / inside);
  }
  return 1 / (x * x);
}

const reynolds = (net, part, flow) =>
  (4 * Math.abs(flow)) / (Math.PI * part.bore * net.viscosity);

// Colebrook-White over Swamee-Jain; 1 where neither holds.
function ratioOfLaws(net, part, flow) {
  if (!part.length) return 1;
  const re = reynolds(net, part, flow), rough = part.roughness / part.bore;
  return re < 4000 ? 1 : colebrook(re, rough) / swameeJain(re, rough);
}

// EPANET's solutions of an open network: as it is, and with Colebrook-White.
function bothLaws(epanet) {
  const { net } = epanet, first = epanet.solve();
  let last = first, moved = 1;
  for (let round = 0; round < 15 && moved > 1e-13; round++) {
    net.parts.forEach((p, i) => {
      if (p.length) epanet.setLength(i, p.length * ratioOfLaws(net, p, last.flows[i]));
    });
    const next = epanet.solve();
    moved = off(next, last).flow;
    last = next;
  }
  return [first, last];
}

// ---- Comparing ----

// Worst difference of a flow, over itself or over a hundredth of the largest where it is less
// than that; and of a pressure, over the range of all.
function off(one, other) {
  const least = 1e-2 * most(other.flows);
  const range = Math.max(...other.pressures) - Math.min(...other.pressures);
  return {
    flow: most(other.flows.map((q, i) => (one.flows[i] - q) / Math.max(Math.abs(q), least))),
    pressure: most(other.pressures.map((p, i) => (one.pressures[i] - p) / range)),
  };
}

// Difference of all that leaves the nodes of fixed pressure.
function offInAll(net, one, other) {
  const sum = (solution) => net.parts.reduce((total, p, i) => {
    const leaving = "fixed" in net.nodes[p.from] ? 1 : "fixed" in net.nodes[p.to] ? -1 : 0;
    return total + Math.max(leaving * solution.flows[i], 0);
  }, 0);
  return Math.abs(sum(one) / sum(other) - 1);
}

const said = (worst) => Object.entries(worst).map(([k, v]) => `${k} ${power(v)}`).join(", ");
const within = (worst, limits) => Object.keys(limits).every((key) => worst[key] <= limits[key]);

// The differences of one network or of a list of them.
function agree(what, differences, limits) {
  const list = [differences].flat(), worst = {};
  for (const key of Object.keys(list[0])) worst[key] = most(list.map((one) => one[key]));
  const beyond = list.findIndex((one) => !within(one, limits));
  report(beyond < 0, `${what}: worst ${said(worst)} (limits ${said(limits)})`
    + (beyond < 0 ? "" : `, first beyond in network ${beyond + 1} of ${list.length}`));
}

// What is left between the solvers: fans are told to ours by points, and below Re 10 our local
// losses pass into a linear law.
const LIMITS = { flow: 1e-6, pressure: 1e-8 };

// ---- Random networks ----

// Opens each duct that runs in a bridge of either law or near it, and solves anew, until none is
// left. The flows are ours.
function outOfBridges(nets) {
  for (;;) {
    const solved = solveOurs(program, nets);
    let opened = 0;
    nets.forEach((net, n) => net.parts.forEach((p, i) => {
      const re = p.length ? reynolds(net, p, solved[n].flows[i]) : 0;
      if (re > 1800 && re < 4400) {
        net.open(p);
        opened++;
      }
    }));
    if (opened === 0) return solved;
  }
}

const KINDS = [
  { what: "trees", make: tree, largest: 80 },
  { what: "rings", make: ring, largest: 48 },
  { what: "grids", make: grid, largest: 9 },
];

function draw(count, make, largest) {
  return Array.from({ length: count }, (_, i) => {
    const net = make(i === 0 ? largest : whole(2, largest), chance(0.5));
    if (chance(0.5)) net.leaks(0.3, 0.05);
    return net;
  });
}

function sizes(nets) {
  const parts = nets.map((net) => net.parts.length);
  return `${nets.length} networks of ${Math.min(...parts)} to ${Math.max(...parts)} parts`;
}

function compareDucts(what, nets) {
  const solved = outOfBridges(nets), asIs = [], taken = [], ratios = [];
  nets.forEach((net, n) => {
    const epanet = new Epanet(net), [first, last] = bothLaws(epanet);
    epanet.close();
    asIs.push({ ...off(first, solved[n]), "in all": offInAll(net, first, solved[n]) });
    taken.push(off(last, solved[n]));
    net.parts.forEach((p, i) => ratios.push(Math.abs(ratioOfLaws(net, p, solved[n].flows[i]) - 1)));
  });
  // Flows go with 1/sqrt(f) at the most.
  const gap = most(ratios), mean = asIs.reduce((sum, o) => sum + o["in all"], 0) / asIs.length;
  agree(`${what}, ${sizes(nets)}, as they are, where the laws of friction differ by up to `
    + `${power(gap)}: in all ${power(mean)} on average`, asIs,
    { pressure: gap, "in all": gap / 2 });
  agree(`${what}, the same with that taken out`, taken, LIMITS);
}

function compareOpenings(what, nets) {
  for (const net of nets) for (const part of net.parts) if (part.length) net.open(part);
  const solved = solveOurs(program, nets);
  const differ = (constants) => nets.map((net, n) => {
    const epanet = new Epanet(net, constants), there = epanet.solve();
    epanet.close();
    return off(there, solved[n]);
  });
  agree(`${what} of openings, fans and leaks, ${sizes(nets)}`, differ(), LIMITS);
  agree(`${what}, the same with EPANET's rounded constants`, differ(ROUNDED),
    { flow: 1e-3, pressure: 1e-4 });
}

// A difference far below one in a thousand is seen.
function compareSensitivity() {
  const net = grid(4, true), [solved] = outOfBridges([net]);
  net.parts.find((p) => p.length).length *= 1.0001;
  const epanet = new Epanet(net), [, last] = bothLaws(epanet);
  epanet.close();
  const worst = off(last, solved);
  report(!within(worst, LIMITS), `a duct longer by 1e-4 is seen: ${said(worst)}`);
}

// ---- Known networks ----

const UNITS = { "m3/h": 1 / 3600, "l/s": 1e-3, "m3/s": 1 };

// A known network as drawn ones are; node 0, the still air, is not used.
function networkOf(entry, unit) {
  const net = new Network(entry.density, entry.viscosity), number = { still: 0 };
  for (const [name, node] of Object.entries(entry.nodes))
    number[name] = net.node("fixed" in node ? node : { outflow: node.outflow * unit });
  for (const { from, to, ...own } of Object.values(entry.parts)) {
    const part = { roughness: entry.roughness, ...own };
    if (part.reach) part.reach *= unit;
    if (part.factor) {
      part.zeta = (part.factor * part.length) / part.bore;
      part.length = 0;
    }
    if (part.resistance) {
      part.bore = 1;
      part.zeta = (2 * part.resistance * area(1) ** 2) / net.density;
    }
    net.part(number[from], number[to], part);
  }
  return net;
}

// Worst relative difference of a flow from what is known, and of a pressure in its range.
function offKnown(entry, unit, want, got) {
  const names = Object.keys(entry.parts), nodes = Object.keys(entry.nodes), worst = {};
  worst.flow = most(names.map((name, i) => got.flows[i] / (want.flows[name] * unit) - 1));
  if (want.pressures) {
    const range = most(Object.values(want.pressures));
    worst.pressure = most(nodes.map((name, i) =>
      (got.pressures[i + 1] - want.pressures[name]) / range));
  }
  return worst;
}

function compareKnown(entry, unit, wanted) {
  const net = networkOf(entry, unit), [solved] = solveOurs(program, [net]);
  const epanet = new Epanet(net), [first, last] = bothLaws(epanet);
  epanet.close();
  wanted(net, solved, first);
  const limits = entry.in_bridge ? { flow: entry.in_bridge, pressure: entry.in_bridge } : LIMITS;
  agree(`${entry.name}: EPANET with Colebrook-White`, off(last, solved), limits);
}

function compareSolvedBefore() {
  const unit = UNITS[known.solved_before.flow_unit];
  for (const entry of known.solved_before.networks) {
    const limit = entry.in_bridge ?? 1e-9, limits = { flow: limit, pressure: limit };
    compareKnown(entry, unit, (net, solved, first) => {
      agree(`${entry.name}: ours as calculated before with Colebrook-White`,
        offKnown(entry, unit, entry.colebrook, solved), limits);
      agree(`${entry.name}: EPANET as calculated before with Swamee-Jain`,
        offKnown(entry, unit, entry.swamee_jain, first), { flow: 1e-9, pressure: 1e-9 });
    });
  }
}

function comparePublished() {
  for (const entry of known.published) {
    const unit = UNITS[entry.flow_unit];
    compareKnown(entry, unit, (net, solved) => agree(`${entry.name}: ours as published`,
      offKnown(entry, unit, entry, solved), { flow: entry.agreement }));
  }
}

async function main() {
  await startEpanet();
  compareSolvedBefore();
  comparePublished();
  for (const { what, make, largest } of KINDS) {
    compareDucts(what, draw(40, make, largest));
    compareOpenings(what, draw(20, make, largest));
  }
  compareSensitivity();
}

main().catch((error) => report(false, error.message)).finally(() => {
  console.log(`${passed} passed, ${failed} failed`);
  process.exitCode = failed > 0 || passed === 0 ? 1 : 0;
});
