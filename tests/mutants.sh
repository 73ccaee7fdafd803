#!/usr/bin/env bash
# Changes the physics one operator at a time and counts which changes the tests catch.
#
#     tests/mutants.sh PART [SHARD/SHARDS]
#
# PART is a module of the physics (quantity, hydrology, collection, hydraulics, basin, pump_selection, routing), or a
# folder or file in one (hydrology/rain_record, pump_selection/curve.rs). First the quick tests of the module are asked,
# which takes seconds; what they let through is tried again with the tests of the physics (of those that follow whole
# storms only with the routing). Results lie in target/mutants-tried/PART. Fails where less than 90 % are caught, or one
# gets through that tests/mutants_left.txt does not explain.
#
# With MUTANTS_IN_PLACE=1 the sources are changed where they are, one after the other, which needs no building anew: in a
# clone that nothing else is done in. Tests that take longer than 20 s, or 90 s in the second round, count as hanging: where
# the machine has other work too, MUTANTS_TIMEOUT=120 waits longer.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
part=${1:?"usage: tests/mutants.sh PART [SHARD/SHARDS]"}
module=${part%%/*}
[ -e "src/$part" ] || { echo "there is no src/$part" >&2; exit 2; }
cargo mutants --version >/dev/null 2>&1 || cargo install --locked cargo-mutants@27.1.0
# random sites are the same each time, so that a mutant is judged by what it changes
export PROPTEST_RNG_SEED="${PROPTEST_RNG_SEED:-20261128}"
# each job builds in a copy of its own; a folder shared between them would make each build all anew
unset CARGO_TARGET_DIR
out="$PWD/target/mutants-tried/${part//\//-}${2:+-${2%%/*}-of-${2##*/}}"
rm -rf "$out"
mkdir -p "$out"
common=(--config tests/mutants.toml -f "src/$part" -f "src/${part%.rs}/**" -f "src/${part%.rs}.rs" --profile mutants
  --no-default-features --no-shuffle --colors never)
if [ -n "${MUTANTS_IN_PLACE:-}" ]; then common+=(--in-place); else common+=(--jobs "${MUTANTS_JOBS:-$(nproc)}"); fi
shard=()
[ -z "${2:-}" ] || shard=(--shard "$2" --sharding round-robin)
# what was missed and what hung stands in the files; the exit codes 2 and 3 only say that there was any
run() { cargo mutants "$@" || [ $? -le 3 ]; }
count() { cat "${@/#/$out/}" 2>/dev/null | grep -c . || true; }

slow=(--skip routing::tests::method --skip identity_the_storm_is_cut_finely_enough)
case $module in
  quantity) first=(-C=--test=quantity_reading -C=--test=quantity_units -- -- "${slow[@]}") ;;
  hydraulics | pump_selection) first=(-C=--test=crosscheck -C=--test=physics_properties -- -- "${slow[@]}") ;;
  *) first=(-- "$module::") ;;
esac
run "${common[@]}" "${shard[@]}" --output "$out/own" --timeout "${MUTANTS_TIMEOUT:-20}" -C=--lib "${first[@]}"
let_through=$out/own/mutants.out/missed.txt
if [ -s "$let_through" ]; then
  names=$(sed 's/[][\\.*^$(){}?+|]/\\&/g' "$let_through" | paste -sd'|')
  tests=(check_cases crosscheck physics_properties quantity_reading quantity_units)
  skip=()
  case $module in
    routing) tests+=(crosscheck_routing) ;;
    *) skip=(-- -- "${slow[@]}") ;;
  esac
  run "${common[@]}" --re "^($names)\$" --output "$out/all" --timeout "${MUTANTS_TIMEOUT:-90}" -C=--lib "${tests[@]/#/-C=--test=}" \
    "${skip[@]}"
fi
hung=$(count own/mutants.out/timeout.txt)
caught=$((hung + $(count own/mutants.out/caught.txt)))
# a name can fit more than was let through, so only what both passes missed is missed
missed=$(comm -12 <(sort "$let_through") <(sort "$out/all/mutants.out/missed.txt" 2>/dev/null || true))
left=$(grep -c . <<<"$missed" || true)
by_all=$(($(count own/mutants.out/missed.txt) - left))
tried=$((caught + by_all + left))
[ "$tried" -gt 0 ] || { echo "no mutant was tried" >&2; exit 1; }
echo "$part: $((caught + by_all)) of $tried mutants caught, $((100 * (caught + by_all) / tried)) %:" \
  "$caught by its own tests ($hung by hanging), $by_all by all; $(count own/mutants.out/unviable.txt) did not compile"
# the place in the file moves, the name does not
names=$(sed -E 's/:[0-9]+:[0-9]+: /: /' <<<"$missed" | grep . | sort | uniq -c | awk '{$1 = $1} 1' || true)
explained=$(grep -v '^#' tests/mutants_left.txt | sed 's/ | .*//' || true)
awk -v by="$explained" '
  BEGIN { n = split(by, lines, "\n"); for (i = 1; i <= n; i++) { c = lines[i] + 0; sub(/^[0-9]+ /, "", lines[i]); known[lines[i]] = c } }
  { c = $1; sub(/^[0-9]+ /, ""); if (c > known[$0] + 0) { print "not explained: " c " " $0; bad = 1 } }
  END { exit bad }' <<<"$names" && all_explained=1 || all_explained=0
[ -z "$missed" ] || printf '%s\n' "" "let through:" "$missed"
[ "$all_explained" = 1 ] && [ $((10 * (caught + by_all))) -ge $((9 * tried)) ]
