// A network of tundish-network/1 as EPANET sees it, through the npm package epanet-js.
//
// EPANET's own ways that this has to undo: g is 32.2 ft/s2 there (0.08 % off), viscosity is kinematic,
// a three-point curve is a power law, node heads leave out the velocity head.  Tubes are pipes with
// minor-loss coefficients, the bucket and every outlet in the air are reservoirs, an outlet's last tube
// has a check valve (a faucet does not suck).

const GRAVITY = 9.80665;

export function toInp(net) {
  const rho = net.fluid.density_kg_m3;
  const junctions = [], reservoirs = [], pipes = [];
  let nodes = 0;
  const addJunction = (z) => {
    const id = `n${++nodes}`;
    junctions.push([id, z]);
    return id;
  };
  const addOutlet = (z) => {
    const id = `o${++nodes}`;
    reservoirs.push([id, z]);
    return id;
  };
  const addTube = (tube, from, to, check) =>
    pipes.push([tube.id, from, to, tube.length_m, tube.bore_mm, tube.roughness_mm ?? 0.0015,
                tube.k ?? 0, check ? "CV" : "Open"]);

  // Lays the chain from a node; returns the node where it ends. `last` makes that node, from its height.
  const rises = (member) => member.type === "tube" ? member.rise_m ?? 0
    : member.branches[0].reduce((sum, inner) => sum + rises(inner), 0);
  const lay = (chain, from, z, last, check) => {
    chain.forEach((member, i) => {
      const end = i === chain.length - 1;
      if (member.type === "open") {
        for (const branch of member.branches) lay(branch, from, z, addOutlet, true);
        return;
      }
      const height = z + rises(member);
      const to = end ? last(height) : addJunction(height);
      if (member.type === "tube") addTube(member, from, to, check && end);
      else for (const branch of member.branches) lay(branch, from, z, () => to, false);
      from = to;
      z = height;
    });
    return from;
  };

  const bucket = net.bucket?.height_m ?? 0, height = net.pump.height_m ?? 0;
  const curve = net.pump.curve ?? net.pump.curve_kpa.map(([q, kpa]) => [q, kpa * 1e3 / (rho * GRAVITY)]);
  reservoirs.push(["bucket", bucket]);
  const outlet = addJunction(height);
  lay(net.chain, outlet, height, net.return === "submerged" ? () => "bucket" : addOutlet,
      net.return !== "submerged");
  const nu = net.fluid.viscosity_pa_s / rho;
  return `[JUNCTIONS]
${junctions.map(([id, z]) => `${id} ${z} 0`).join("\n")}
[RESERVOIRS]
${reservoirs.map(([id, z]) => `${id} ${z}`).join("\n")}
[PIPES]
${pipes.map((pipe) => pipe.join(" ")).join("\n")}
[PUMPS]
pump bucket ${outlet} HEAD curve
[CURVES]
${curve.map(([q, h]) => `curve ${q} ${h}`).join("\n")}
[OPTIONS]
UNITS LPM
HEADLOSS D-W
VISCOSITY ${nu}
SPECIFIC GRAVITY ${rho / 1000}
ACCURACY 0.00000001
TRIALS 500
[TIMES]
DURATION 0
[END]
`;
}

export function open(epanet, workspace, net) {
  const model = new epanet.Project(workspace);
  workspace.writeFile("net.inp", toInp(net));
  model.open("net.inp", "net.rpt", "net.bin");
  model.openH();
  return model;
}

// From EPANET's own first guess each time (10 = EN_INITFLOW), not from the last solution.
export function solve(model) {
  model.initH(10);
  model.runH();
}

// The answer in the shape of `tundishctl network`.
export function readAnswer(epanet, model, net) {
  const { LinkProperty, NodeProperty, CountType } = epanet;
  const rho = net.fluid.density_kg_m3;
  const tubes = [];
  const collect = (chain) => chain.forEach((member) => member.type === "tube" ? tubes.push(member)
    : member.branches.forEach(collect));
  collect(net.chain);
  const flowOf = (id) => model.getLinkValue(model.getLinkIndex(id), LinkProperty.Flow);
  let highest = -Infinity;
  for (let i = 1; i <= model.getCount(CountType.NodeCount); i++) {
    const head = model.getNodeValue(i, NodeProperty.Head), z = model.getNodeValue(i, NodeProperty.Elevation);
    highest = Math.max(highest, rho * GRAVITY * (head - z) / 1e3);
  }
  const pump = model.getLinkIndex("pump");
  return {
    pump_flow_l_min: flowOf("pump"),
    pump_head_m: Math.abs(model.getLinkValue(pump, LinkProperty.Headloss)),
    max_pressure_kpa: highest,
    tubes: tubes.map((tube) => {
      const flow = flowOf(tube.id), bore = tube.bore_mm / 1e3;
      const velocity = flow / 60000 / (Math.PI / 4 * bore * bore);
      return {
        id: tube.id, flow_l_min: flow, velocity_m_s: velocity,
        reynolds: velocity * bore * rho / net.fluid.viscosity_pa_s,
        head_loss_m: Math.abs(model.getLinkValue(model.getLinkIndex(tube.id), LinkProperty.Headloss)),
      };
    }),
  };
}
