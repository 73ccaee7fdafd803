#!/bin/sh
# Builds the fuzz targets and runs each for so many seconds, one after the other: tests/fuzz/run.sh [seconds a target].
# Ends with 1 where one of them finds something; the input lies in tests/fuzz/artifacts/ then.
#
# Needs a nightly toolchain and `cargo install cargo-fuzz --locked`. TARGETS="size_job" runs only some.
#
# Built as a release with debug assertions and overflow checks, and without a sanitizer: the code forbids `unsafe`, so a
# sanitizer would find nothing in it and only make it slower. What is a finding:
# - a panic, or an assertion of the target that does not hold;
# - an input that takes over three seconds of the processor, measured in the target, so that a busy machine is no
#   finding: one second of the program itself, which the counters of coverage and the checks of this build make at least
#   three times as slow;
# - over 200 MB allocated for one input, counted by the target's allocator: libFuzzer's own -malloc_limit_mb needs a
#   sanitizer. -rss_limit_mb stands above it, since the corpus and its counters are in the same process;
# - an input that does not come back at all: -timeout, by the clock, wide for a busy machine.
set -eu
cd "$(dirname "$0")/../.."
seconds=${1:-60}
here=tests/fuzz
targets=${TARGETS:-"site_file point_file rain_record size_job"}

# The seeds: what the other tests read already.
seed() { mkdir -p "$here/corpus/$1"; }
seed site_file; seed size_job; seed point_file; seed rain_record
for file in examples/*.toml tests/site_reading/good.toml; do
    cp "$file" "$here/corpus/site_file/$(basename "$file")"
    cp "$file" "$here/corpus/size_job/$(basename "$file")"
done
# a site and the file that its rain comes from, in one
{
    cat $here/rain-by-file.toml
    printf '\n#### rain file\n'
    cat tests/data/atlas14-champaign-il.csv
} > $here/corpus/size_job/rain-by-file.toml
cp $here/corpus/size_job/rain-by-file.toml $here/corpus/site_file/
for file in tests/bad/*.toml; do cp "$file" "$here/corpus/site_file/bad-$(basename "$file")"; done
cp tests/data/atlas14-*.csv $here/corpus/point_file/
records=$here/corpus/rain_record
head -n 60 examples/rain-2-months.csv > $records/five-minutes.csv
awk 'NR > 1000 && NR < 1200' examples/rain-2-months.csv > $records/without-a-header.csv
# the forms that records come in, invented
awk 'BEGIN { print "time;rain (mm)"; for (i = 0; i < 96; i++) printf "%02d.11.2023 %02d:00;%.1f\n", 4 + i / 24, i % 24, i % 7 == 0 ? i / 20 : 0 }' > $records/semicolons.csv
awk 'BEGIN { print "# day"; print "date,hour,rain_mm"; for (i = 0; i < 96; i++) printf "%d/11/2023,%02d:00,%.1f\n", 4 + i / 24, i % 24, i % 5 ? 0 : 1.2 }' > $records/two-columns.csv
awk 'BEGIN { print "valid,tip_in"; for (i = 0; i < 60; i++) printf "2023-11-%02dT%02d:%02d:%02dZ,0.01\n", 4 + i / 24, i % 24, i * 7 % 60, i * 13 % 60 }' > $records/tips.csv
awk 'BEGIN { print "# total"; print "stamp,total (in)"; for (i = 0; i < 96; i++) printf "%d/%d/2023 %d:%02d %s,%.2f\n", 11, 4 + i / 24, i % 12 ? i % 12 : 12, 0, i % 24 < 12 ? "AM" : "PM", i < 60 ? i / 50 : (i - 60) / 50 }' > $records/running-total.csv
awk 'BEGIN { print "DATE,PRCP,STATION"; for (i = 0; i < 120; i++) printf "2023-%02d-%02d,%d,%s\n", 1 + i / 30, 1 + i % 28, i % 3 ? 0 : 12 * i, i % 2 ? "A" : "B" }' > $records/days-of-stations.csv
awk 'BEGIN { print "# intensity 0.1mm starts"; print "zeit\tregen"; for (i = 0; i < 200; i++) printf "%d\t%d\n", 1700000000 + 600 * i, i % 9 ? 0 : 30 }' > $records/unix-seconds.csv
printf '# station=A step gap all high\n' > $records/options.csv
cat $records/days-of-stations.csv >> $records/options.csv

cargo +nightly fuzz build --fuzz-dir $here -s none

failed=""
for target in $targets; do
    case $target in
    rain_record) longest=65536 ;;
    *) longest=32768 ;;
    esac
    mkdir -p $here/artifacts
    log=$here/artifacts/$target.log
    echo "$target: $seconds s, log in $log"
    if cargo +nightly fuzz run --fuzz-dir $here -s none "$target" -- \
        -max_total_time="$seconds" -max_len=$longest -timeout=30 -rss_limit_mb=1024 \
        -print_final_stats=1 -verbosity=1 > "$log" 2>&1; then
        :
    else
        failed="$failed $target"
        grep -v '^#' "$log" | tail -n 30
    fi
    grep -E '^(slowest|most memory)' "$log" | sort -t: -k2 -n | awk -F: '{ last[$1] = $0 } END { for (what in last) print "  " last[what] }'
    grep -E 'DONE|number_of_executed_units|peak_rss_mb' "$log" | sed 's/^/  /' || true
done
if [ -n "$failed" ]; then
    echo "found something:$failed"
    exit 1
fi
echo "found nothing"
