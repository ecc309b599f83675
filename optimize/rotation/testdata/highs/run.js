// Solves MPS models one after the other. Each line of standard input is {"model": path, "seconds": limit};
// each line of standard output {"status", "objective", "columns"}, columns being those that are not 0.
"use strict";
const fs = require("fs");
const readline = require("readline");

async function main() {
  const highs = await require("highs")();
  const names = new Map(Object.entries(highs.constants.modelStatus).map(([name, code]) => [code, name]));
  for await (const line of readline.createInterface({ input: process.stdin })) {
    const job = JSON.parse(line);
    console.log(JSON.stringify(solve(highs, names, job)));
  }
}

function solve(highs, names, job) {
  const model = highs.createModel();
  try {
    // One unit is the least that two plans can differ by, so a smaller gap is a proof.
    model.options.set({ output_flag: false, mip_rel_gap: 0, mip_abs_gap: 0.5, time_limit: job.seconds });
    model.readModel({ format: "mps", data: fs.readFileSync(job.model) });
    model.run();
    const status = names.get(model.getModelStatus());
    const columns = {};
    const values = model.getSolution().colValue;
    for (let i = 0; i < values.length; i++) {
      if (Math.abs(values[i]) > 1e-9) columns[model.getColName(i)] = values[i];
    }
    return { status, objective: model.getObjectiveValue(), columns };
  } catch (err) {
    return { status: "error: " + err.message };
  } finally {
    model.dispose();
  }
}

main();
