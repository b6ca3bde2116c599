// network_draw.js - draws random duct networks; the same ones each time
//
// A network has nodes, { fixed } [Pa] or { outflow } [m3/s], and parts between two of them:
//   { bore, length, roughness, zeta }   a duct with local losses
//   { bore, zeta, valve }               an opening; `valve` says how our solver is told of it
//   { leak }                            a leak to still air, node 0: flow at 1 Pa [m3/s]
//   { shut, reach, bend }               a fan: shut (1 - (flow/reach)^bend) Pa at 1.2 kg/m3

"use strict";

// Mulberry32, a small generator (from memory; any would do).
let seed = 20240229;
function dice() {
  seed = (seed + 0x6d2b79f5) | 0;
  let t = Math.imul(seed ^ (seed >>> 15), 1 | seed);
  t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
  return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
}
const between = (low, high) => low + (high - low) * dice();
const whole = (low, high) => Math.floor(between(low, high + 1));
const pick = (list) => list[whole(0, list.length - 1)];
const chance = (share) => dice() < share;
const sumOf = (list) => list.reduce((a, b) => a + b, 0);
const area = (bore) => (Math.PI / 4) * bore * bore;

const BORES = [0.063, 0.08, 0.1, 0.125, 0.16, 0.2, 0.25, 0.315, 0.4, 0.5, 0.63, 0.8];
const ROUGHNESS = [1.5e-6, 7e-6, 9e-5, 9e-5, 1.5e-4, 9e-4];

class Network {
  constructor(density = between(0.95, 1.35), viscosity = between(1.35e-5, 1.75e-5)) {
    this.density = density;
    this.viscosity = viscosity; // kinematic, m2/s
    this.leakExponent = pick([0.5, 0.6, 0.65, 0.7, 0.93]);
    this.nodes = [{ fixed: 0 }];
    this.parts = [];
  }

  node(what = { outflow: 0 }) {
    return this.nodes.push(what) - 1;
  }

  part(from, to, what) {
    this.parts.push({ from, to, ...what });
  }

  // A duct for about this flow, at 2.5 to 5 m/s.
  duct(from, to, flow) {
    const speed = between(2.5, 5);
    const bore = BORES.find((b) => area(b) * speed >= flow) ?? BORES.at(-1);
    const zeta = chance(0.2) ? 0 : between(0.1, 3);
    this.part(from, to, { bore, length: between(1, 14), roughness: pick(ROUGHNESS), zeta });
  }

  // A duct to an opening into a room, or to a flow held constant.
  terminal(from, flow, pressure) {
    const end = this.node();
    this.duct(from, end, flow);
    if (chance(0.15)) {
      this.nodes[end].outflow = flow;
      return;
    }
    const bore = pick([0.08, 0.1, 0.125]), drop = pressure * between(0.4, 0.8);
    const zeta = (2 * drop * area(bore) ** 2) / (this.density * flow ** 2);
    this.part(end, this.node({ fixed: between(-3, 3) }), { bore, zeta, valve: chance(0.5) });
  }

  // A plenum of this pressure, or a fan behind an intake that gives it at this flow.
  source(flow, pressure, fan) {
    if (!fan) return this.node({ fixed: pressure });
    const before = this.node(), after = this.node();
    this.duct(0, before, flow);
    const reach = flow * between(1.4, 2.2), bend = chance(0.5) ? 2 : between(1.6, 2.6);
    const shut = (pressure * 1.2) / this.density / (1 - (flow / reach) ** bend);
    this.part(before, after, { shut, reach, bend });
    return after;
  }

  // Leaks at some of the nodes that have no outflow of their own.
  leaks(share, flow) {
    const at = this.nodes.flatMap((n, i) => (n.outflow === 0 ? [i] : []));
    for (const from of at)
      if (chance(share)) this.part(from, 0, { leak: flow * between(0.001, 0.01) });
  }

  // Makes a duct an opening with the friction of f 0.02: no law of friction is left in it.
  open(part) {
    part.zeta += (0.02 * part.length) / part.bore;
    part.valve = false;
    delete part.length;
  }
}

const terminalFlow = () => between(25, 75) / 3600;

// Branching ducts; at the ends one to three terminals, on the way one or none.
function tree(size, fan) {
  const net = new Network(), parent = [-1], ends = [], sum = new Array(size).fill(0);
  for (let i = 1; i < size; i++) parent.push(whole(Math.max(0, i - 4), i - 1));
  for (let i = size - 1; i >= 0; i--) {
    const count = parent.includes(i) ? whole(0, 1) : whole(1, 3);
    ends[i] = Array.from({ length: count }, terminalFlow);
    sum[i] += sumOf(ends[i]);
    if (i > 0) sum[parent[i]] += sum[i];
  }
  const pressure = between(60, 300), at = [net.source(sum[0], pressure, fan)];
  for (let i = 1; i < size; i++) {
    at[i] = net.node();
    net.duct(at[parent[i]], at[i], sum[i]);
  }
  ends.forEach((list, i) => list.forEach((flow) => net.terminal(at[i], flow, pressure)));
  return net;
}

// A ring main, fed at one or two places, with two terminals at each of its nodes.
function ring(size, fan) {
  const net = new Network(), flows = Array.from({ length: 2 * size }, terminalFlow);
  const sum = sumOf(flows), pressure = between(60, 300);
  const plenum = net.source(sum, pressure, fan);
  const at = Array.from({ length: size }, () => net.node());
  at.forEach((node, i) => net.duct(node, at[(i + 1) % size], sum / 3));
  net.duct(plenum, at[0], sum);
  if (chance(0.5)) net.duct(plenum, at[size >> 1], sum / 2);
  flows.forEach((flow, i) => net.terminal(at[i >> 1], flow, pressure));
  return net;
}

// A mesh of `size` x `size` nodes, fed at two corners, with a terminal at each node.
function grid(size, fan) {
  const net = new Network(), flows = Array.from({ length: size * size }, terminalFlow);
  const sum = sumOf(flows), pressure = between(60, 300);
  const plenum = net.source(sum, pressure, fan), at = flows.map(() => net.node());
  const along = (from, to) => net.duct(from, to, (sum / size) * between(0.2, 0.5));
  at.forEach((node, i) => {
    if ((i + 1) % size) along(node, at[i + 1]);
    if (i + size < at.length) along(node, at[i + size]);
  });
  net.duct(plenum, at[0], sum * 0.6);
  net.duct(plenum, at.at(-1), sum * 0.6);
  flows.forEach((flow, i) => net.terminal(at[i], flow, pressure));
  return net;
}

module.exports = { Network, area, between, chance, grid, ring, tree, whole };
