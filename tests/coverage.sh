#!/usr/bin/env bash
# Counts the lines of the physics that its tests reach, module by module.
#
#     tests/coverage.sh
#
# Prints for each module how many lines are reached, then the lines that are not. Fails where a module has less than 95 %.
# The lines of each file stand in target/coverage/lcov.info. The tool reads the compiler's own profiles, so that no part
# of the compiler has to be installed with it.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
cargo tarpaulin --version >/dev/null 2>&1 || cargo install --locked cargo-tarpaulin@0.37.5
modules=(quantity hydrology collection hydraulics basin pump_selection routing)
tests=(check_cases crosscheck crosscheck_routing physics_properties quantity_reading quantity_units)
files=("${modules[@]/#/src/}")
files=("${files[@]/%//*}")
out=$PWD/target/coverage
mkdir -p "$out"
# a slow machine must not cut a test short
cargo tarpaulin --engine llvm --no-default-features --lib "${tests[@]/#/--test=}" --skip-clean --timeout 600 \
  --target-dir "$out/build" --include-files "${files[@]}" --out Lcov --output-dir "$out" >"$out/log" 2>&1 ||
  { tail -40 "$out/log" >&2; exit 1; }
awk -F'[:,]' '
  /^SF:/ { file = $2; sub(/.*\/src\//, "src/", file); split(file, part, "/"); module = part[2] }
  /^DA:/ { all[module]++; if ($3 > 0) reached[module]++; else left[file] = left[file] " " $2 }
  END {
    for (module in all) {
      share = 100 * reached[module] / all[module]
      printf "%-15s %5d of %5d lines reached, %.1f %%\n", module, reached[module], all[module], share | "sort"
      if (share < 95) bad = 1
      found++
    }
    close("sort")
    for (file in left) print "not reached in " file ":" left[file] | "sort"
    close("sort")
    if (found != 7) { print "not every module was found"; bad = 1 }
    exit bad
  }' "$out/lcov.info"
