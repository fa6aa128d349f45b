// Solves every *.network.json beside this file with EPANET and compares with, or writes, *.epanet.json.
//
// usage: npm install --prefix DIR epanet-js@0.9.0
//        NODE_PATH is of no use to modules, so: node regenerate.mjs DIR [--write]
import fs from "node:fs";
import path from "node:path";
import { pathToFileURL, fileURLToPath } from "node:url";
import { open, solve, readAnswer } from "./epanet.mjs";

const [where, flag] = process.argv.slice(2);
if (!where) {
  console.error("usage: node regenerate.mjs DIR [--write]   (DIR holds node_modules/epanet-js)");
  process.exit(2);
}
const library = path.join(where, "node_modules", "epanet-js");
const epanet = await import(pathToFileURL(path.resolve(library, "dist/index.mjs")));
const workspace = new epanet.Workspace();
await workspace.loadModule();
const version = JSON.parse(fs.readFileSync(path.join(library, "package.json"))).version;
const engine = String(workspace.version);
const number = `${engine[0]}.${Number(engine.slice(1, 3))}.${Number(engine.slice(3))}`;

const here = path.dirname(fileURLToPath(import.meta.url));
let worst = 0;
for (const file of fs.readdirSync(here).filter((name) => name.endsWith(".network.json")).sort()) {
  const net = JSON.parse(fs.readFileSync(path.join(here, file)));
  const model = open(epanet, workspace, net);
  solve(model);
  const answer = { engine: `EPANET ${number} through epanet-js ${version}`,
                   ...readAnswer(epanet, model, net) };
  model.close();
  const target = path.join(here, file.replace(".network.", ".epanet."));
  if (flag === "--write") {
    fs.writeFileSync(target, JSON.stringify(answer, null, 1));
    continue;
  }
  const kept = JSON.parse(fs.readFileSync(target));
  const pairs = [["pump_flow_l_min", answer, kept], ["pump_head_m", answer, kept],
                 ["max_pressure_kpa", answer, kept],
                 ...answer.tubes.flatMap((tube, i) => ["flow_l_min", "velocity_m_s", "reynolds",
                   "head_loss_m"].map((key) => [key, tube, kept.tubes[i]]))];
  const off = Math.max(...pairs.map(([key, a, b]) => a[key] === b[key] ? 0
    : Math.abs(a[key] - b[key]) / Math.abs(b[key])));
  worst = Math.max(worst, off);
  console.log(`${file}: ${answer.pump_flow_l_min.toFixed(6)} L/min, largest difference ${off.toExponential(1)}`);
}
if (!(worst <= 1e-4)) {
  console.error(`the kept answers differ by ${worst}`);
  process.exit(1);
}
