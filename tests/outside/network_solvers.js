// network_solvers.js - gives one network to our solver and to EPANET
//
// Both answer { flows } [m3/s] by part and { pressures } [Pa] by node.

"use strict";
const { execFileSync } = require("node:child_process");
const { Project, Workspace } = require("epanet-js");
const { area } = require("./network_draw.js");

// ---- Ours, through the program net_solve ----

const FAN_POINTS = 401;

function fanPoints(part) {
  return Array.from({ length: FAN_POINTS }, (_, i) => (1.05 * i) / (FAN_POINTS - 1))
    .map((share) => `${share * part.reach} ${part.shut * (1 - share ** part.bend)}`);
}

function elements(net, part) {
  if (part.shut) return [`fan ${fanPoints(part).join(" ")}`];
  if (part.leak) {
    // Its drop at 1.2 kg/m3, where it is 1 Pa at the density of the network.
    const power = 1 / net.leakExponent;
    return [`power ${(1.2 / net.density) ** (power - 1)} ${part.leak} ${power}`];
  }
  if (part.valve) return [`valve ${area(part.bore) * Math.sqrt(2 / (1.2 * part.zeta))}`];
  const lines = part.zeta ? [`loss ${part.bore} ${part.zeta}`] : [];
  if (part.length) lines.push(`duct ${part.bore} ${part.length} ${part.roughness}`);
  return lines;
}

function textFor(net) {
  const nodes = net.nodes.map((n) => ("fixed" in n ? `fixed ${n.fixed}` : `free ${n.outflow}`));
  const parts = net.parts.flatMap((p) => [`part ${p.from} ${p.to}`, ...elements(net, p)]);
  return [`air ${net.density} ${net.density * net.viscosity}`, ...nodes, ...parts, "solve\n"]
    .join("\n");
}

// Solves all of them in one run of the program.
function solveOurs(program, nets) {
  const lines = execFileSync(program, {
    input: nets.map(textFor).join(""), encoding: "utf8", maxBuffer: 1 << 28,
  }).split("\n");
  const numbers = (line, word) => {
    const [first, ...rest] = line.split(" ");
    if (first !== word) throw new Error(`net_solve: ${line}`);
    return rest.map(Number);
  };
  return nets.map((_, i) => ({
    flows: numbers(lines[2 * i], "flows"), pressures: numbers(lines[2 * i + 1], "pressures"),
  }));
}

// ---- EPANET ----

// What it calculates with (types.h and hydcoeffs.c of its source): 32.2 ft/s2, which only says
// what a metre of air weighs; 0.02517 for the 8/(pi^2 g) of a local loss and 101.94 m3/h for a
// ft3/s, both rounded. EXACT corrects these two in what goes in and what comes out.
const GRAVITY = 32.2 * 0.3048;
const EXACT = { loss: 8 / (Math.PI ** 2 * 32.2) / 0.02517, flow: 3600 * 0.3048 ** 3 / 101.94 };
const ROUNDED = { loss: 1, flow: 1 };

// Codes of its toolkit.
const LENGTH = 1, FLOW = 8, HEAD = 10, DEMAND = 9, ACCURACY = 1, RELATIVE_ERROR = 1;

// Flows in m3/h, pressures in metres of air, viscosity in m2/s, all nodes level.
function epanetText(net, constants) {
  const head = (pa) => pa / (net.density * GRAVITY);
  const perHour = (flow) => (3600 * flow) / constants.flow;
  const joined = new Set(net.parts.flatMap((p) => (p.leak ? [p.from] : [p.from, p.to])));
  const file = { junctions: [], reservoirs: [], pipes: [], valves: [], pumps: [], curves: [],
    emitters: [], report: ["STATUS NO", "SUMMARY NO"] };
  net.nodes.forEach((n, i) => {
    if (!("fixed" in n)) file.junctions.push(`n${i} 0 ${perHour(n.outflow)}`);
    else if (joined.has(i)) file.reservoirs.push(`n${i} ${head(n.fixed)}`);
  });
  net.parts.forEach((p, i) => {
    const ends = `p${i} n${p.from} n${p.to}`, bore = 1000 * p.bore, zeta = p.zeta * constants.loss;
    if (p.shut) {
      // Three points, the first at rest, are a power law to it. Fans are told at 1.2 kg/m3.
      file.pumps.push(`${ends} HEAD c${i}`);
      for (const share of [0, 0.5, 0.8])
        file.curves.push(`c${i} ${perHour(share * p.reach)} ` +
          `${(p.shut * (1 - share ** p.bend)) / (1.2 * GRAVITY)}`);
    } else if (p.leak) {
      const atOneMetre = perHour(p.leak) * (net.density * GRAVITY) ** net.leakExponent;
      file.emitters.push(`n${p.from} ${atOneMetre}`);
    } else if (p.length) {
      file.pipes.push(`${ends} ${p.length} ${bore} ${1000 * p.roughness} ${zeta} OPEN`);
    } else {
      file.valves.push(`${ends} ${bore} TCV ${zeta} 0`);
    }
  });
  file.options = ["UNITS CMH", "HEADLOSS D-W", `VISCOSITY ${net.viscosity}`, "TRIALS 200",
    `EMITTER EXPONENT ${net.leakExponent}`];
  return Object.entries(file)
    .map(([name, lines]) => `[${name.toUpperCase()}]\n${lines.join("\n")}\n`).join("") + "[END]\n";
}

let workspace, project;

async function startEpanet() {
  workspace = new Workspace();
  await workspace.loadModule();
  project = new Project(workspace);
  // It warns of each pressure below that of still air, which is nothing strange in a duct;
  // whether it converged is asked below.
  console.warn = () => {};
  return workspace.version;
}

// One network at a time is open in it.
class Epanet {
  constructor(net, constants = EXACT) {
    this.net = net;
    this.constants = constants;
    workspace.writeFile("net.inp", epanetText(net, constants));
    project.open("net.inp", "net.rpt", "net.bin");
    project.setOption(ACCURACY, 1e-8); // in a file it would be clipped to 1e-5
    const joined = new Set(net.parts.flatMap((p) => (p.leak ? [p.from] : [p.from, p.to])));
    this.links = net.parts.map((p, i) => (p.leak ? 0 : project.getLinkIndex(`p${i}`)));
    this.nodes = net.nodes.map((_, i) => (joined.has(i) ? project.getNodeIndex(`n${i}`) : 0));
  }

  solve() {
    project.solveH();
    if (!(project.getStatistic(RELATIVE_ERROR) <= 1e-8)) throw new Error("EPANET: no convergence");
    const link = project.getLinkValues(FLOW), head = project.getNodeValues(HEAD);
    const demand = project.getNodeValues(DEMAND), { net, constants } = this;
    return {
      flows: net.parts.map((p, i) => ((p.leak ? demand[this.nodes[p.from] - 1]
        : link[this.links[i] - 1]) * constants.flow) / 3600),
      pressures: net.nodes.map((n, i) => (this.nodes[i] === 0 ? n.fixed
        : head[this.nodes[i] - 1] * net.density * GRAVITY)),
    };
  }

  setLength(part, length) {
    project.setLinkValue(this.links[part], LENGTH, length);
  }

  close() {
    project.close();
  }
}

module.exports = { Epanet, ROUNDED, solveOurs, startEpanet };
