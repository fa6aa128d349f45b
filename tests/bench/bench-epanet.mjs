// The same networks solved by EPANET in epanet-js, for the ratio.
//
// usage: npm install --prefix DIR epanet-js@0.9.0
//        EPANET_DIR=DIR node bench-epanet.mjs FILE.network.json...
// Prints "skipped" where the package is not there.
import fs from "node:fs";
import path from "node:path";
import { pathToFileURL } from "node:url";
import { open, solve } from "../data/hydraulics/epanet.mjs";

const where = process.env.EPANET_DIR, files = process.argv.slice(2);
const library = path.resolve(where ?? ".", "node_modules", "epanet-js", "dist/index.mjs");
if (!where || !fs.existsSync(library)) {
  console.log("skipped: EPANET_DIR names no directory with node_modules/epanet-js");
  process.exit(0);
}
const epanet = await import(pathToFileURL(library));
const workspace = new epanet.Workspace();
await workspace.loadModule();

// Milliseconds of the processor: a machine that does other things as well does not count.
const spent = () => { const { user, system } = process.cpuUsage(); return (user + system) / 1000; };

let seconds = 0;
for (const file of files) {
  const model = open(epanet, workspace, JSON.parse(fs.readFileSync(file)));
  for (let i = 0; i < 100; i++) solve(model); // let the engine warm up
  const start = spent();
  let solves = 0;
  do {
    for (let i = 0; i < 50; i++) solve(model);
    solves += 50;
  } while (spent() - start < 1000);
  const rate = solves / (spent() - start) * 1000;
  model.close();
  seconds += 1 / rate;
  console.log(`${path.basename(file).padEnd(36)} ${rate.toFixed(0).padStart(9)} solves/s`);
}
console.log(`epanet-js: ${(files.length / seconds).toFixed(0)} solves/s over all files`);
