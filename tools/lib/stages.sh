# SPDX-License-Identifier: Apache-2.0
# shellcheck shell=bash disable=SC2154 # root, logs, long and stage_name are set by tools/check
# The stages of tools/check. Each runs in a shell of its own with errexit on, stdin closed, output in its log,
# and builds what it needs, so that --only works.

k_cannot=200
jobs=$(nproc)

# Ends the stage as "not run", with the reason.
cannot() {
  printf '%s\n' "$1" >"$logs/$stage_name.reason"
  exit "$k_cannot"
}

configure() { cmake --preset "$1"; }

# compile PRESET TARGET...: a preset that failed to build in this check is not built again.
compile() {
  local preset=$1
  shift
  [[ ! -e $logs/$preset.broken ]] || cannot "the $preset build is broken"
  configure "$preset"
  if ! ninja -C "build/$preset" -j "$jobs" "$@"; then
    touch -- "$logs/$preset.broken"
    return 1
  fi
}

# run_tests PRESET OPTION...: the tests of a preset, each bounded, through the command in `with`.
with=()
run_tests() {
  local preset=$1
  shift
  "${with[@]}" ctest --test-dir "build/$preset" -j "$jobs" --timeout 300 --no-tests=error \
    --output-on-failure "$@"
}

sources() {
  git -c safe.directory="$root" ls-files -co --exclude-standard -- "$@"
}

stage_packages() {
  packages_install tools/packages.txt build check || cannot "$(tail -n 1 -- "$logs/packages.log")"
  printf 'g++ %s, node %s\n' "$(g++ -dumpfullversion)" "$(node --version)"
}

stage_build() { compile release; }

stage_unit() {
  compile release
  run_tests release
}

# The kernel's usbtmc device, played by a file system. What stands in the way is said, not passed over.
stage_usbtmc() {
  local reason
  configure release
  ninja -C build/release -t query usbtmc_test >/dev/null 2>&1 || cannot "no libfuse3-dev"
  compile release usbtmc_test
  build/release/bin/usbtmc_test --gtest_brief=1 | tee "$logs/usbtmc.out"
  reason=$(grep -m 1 -A 1 ': Skipped$' "$logs/usbtmc.out" | tail -n 1) || true
  [[ -z $reason ]] || cannot "$reason"
}

# Programs of others ask the simulated instruments (is the simulator itself honest?), and others answer our
# drivers, and read and scan what we draw.
stage_peers() {
  compile release benchsim leadwright leadwrightd draw_examples
  tools/lib/peers_sim.py build/release --require-all
  tools/lib/peers_drivers.py build/release --require-all
  tools/lib/peers_paper.py build/release --require-all
}

stage_tidy() {
  local scripts=()
  tools/tidy
  mapfile -t scripts < <(sources .ci tools | xargs -d '\n' grep -lE '^#!.*bash|^# shellcheck shell=bash')
  shellcheck -x "${scripts[@]}"
}

stage_format() {
  sources '*.h' '*.cpp' | xargs -d '\n' clang-format --dry-run -Werror
}

# The database names what is compiled, so that generated files and outside data stay out.
compiled_sources() {
  python3 -c '
import json, os, sys
preset, root, folders = sys.argv[1], sys.argv[2], tuple(sys.argv[3:])
for entry in json.load(open(f"build/{preset}/compile_commands.json", encoding="utf-8")):
    name = os.path.relpath(os.path.join(entry["directory"], entry["file"]), root)
    if name.removeprefix(f"build/{preset}/").startswith(folders):
        print(name)' "$1" "$root" "${@:2}" | sort -u
}

# tidy PRESET FOLDER...: .cpp files count as headers of the files that join them.
tidy() {
  local options=(--quiet -p "build/$1" --config-file=.clang-tidy
    '--header-filter=/(daemon|drivers|protocol|tools|tests)/.*\.(h|cpp)$'
    --extra-arg=-Wno-unknown-warning-option)
  # What joins files includes them, and their private names shadow each other where that does no harm.
  if [[ $1 != alone ]]; then
    options+=('--checks=-bugprone-suspicious-include' --extra-arg=-Wno-shadow)
  fi
  compiled_sources "$@" | xargs -d '\n' -P "$jobs" -n 1 clang-tidy "${options[@]}"
}

# The sources as they are compiled, several together: a third of the time. --long reads each by itself, as
# the compiler never does here: none may live on what another one includes.
stage_clang_tidy() {
  compile release leadwright_web
  tidy release protocol/ drivers/ daemon/ tools/
  $long || return 0
  configure alone
  other_groups_report
  tidy alone protocol/ drivers/ daemon/ tools/ tests/
}

# Advice, not a gate: these groups contradict each other and the style of the house.
other_groups_report() {
  local groups='-*,cert-*,clang-analyzer-*,concurrency-*,cppcoreguidelines-*,misc-*,modernize-*,readability-*'
  local advise=(clang-tidy --quiet -p build/alone "--checks=$groups" '--warnings-as-errors=-*')
  compiled_sources alone protocol/ drivers/ daemon/ tools/ | xargs -d '\n' -P "$jobs" -n 1 "${advise[@]}" \
    >"$logs/other-groups.txt" 2>/dev/null || true
  grep -oE '\[[a-z-]+(,[a-z-]+)*\]$' "$logs/other-groups.txt" | sort | uniq -c | sort -rn || true
}

# fuzz_target NAME SECONDS: starts from a copy of the corpus; what breaks the target is left beside the copy.
fuzz_target() {
  local name=$1 seconds=$2 work=$logs/fuzz/$1
  mkdir -p -- "$work"
  cp -R -- "tests/fuzz/corpus/$name" "$work/corpus"
  # The seconds bound a run that goes on; the outer ones a target that hangs where libFuzzer can't see it.
  if ! timeout -k 5 "$((seconds + 60))" "build/fuzz/bin/fuzz_$name" -seed=1 -max_len=4096 -timeout=5 \
    -rss_limit_mb=1024 -max_total_time="$seconds" -print_final_stats=1 -artifact_prefix="$work/" \
    "$work/corpus" >"$work/log" 2>&1; then
    tail -n 40 -- "$work/log"
    echo "fuzz $name: FAILED, the input is in ${work#"$root"/}; keep it in tests/fuzz/corpus/$name"
    return 1
  fi
  echo "fuzz $name: $(grep -oE '^Done .*' "$work/log")"
}

stage_fuzz() {
  local seconds=10 name broken=0 running=0
  command -v clang++ >/dev/null || cannot "no clang++"
  if $long; then seconds=60; fi
  compile fuzz fuzz
  for name in tests/fuzz/corpus/*/; do
    fuzz_target "$(basename -- "$name")" "$seconds" &
    running=$((running + 1))
    ((running >= jobs)) || continue
    wait -n || broken=$((broken + 1))
    running=$((running - 1))
  done
  for (( ; running > 0; running--)); do
    wait -n || broken=$((broken + 1))
  done
  ((broken == 0))
}

stage_asan() {
  compile asan
  UBSAN_OPTIONS=print_stacktrace=1 run_tests asan
}

# Programs of tests/*/CMakeLists.txt that are declared with LABEL threads.
threaded_tests() {
  cat tests/*/CMakeLists.txt | sed 's/#.*//' | tr '\n' ' ' | grep -oE 'leadwright_test\([^)]*\)' |
    grep -E 'LABEL +"?threads' | sed -E 's/leadwright_test\( *([A-Za-z0-9_]+).*/\1/'
}

stage_tsan() {
  local programs=() name
  configure tsan
  for name in $(threaded_tests); do
    # The one that needs libfuse3: where that is missing, its own stage says so.
    [[ $name != usbtmc_test ]] || ninja -C build/tsan -t query usbtmc_test >/dev/null 2>&1 || continue
    programs+=("$name")
  done
  ((${#programs[@]} > 0)) || cannot "no test is labelled threads"
  compile tsan "${programs[@]}"
  # GCC 12's runtime can't map its shadow under the address randomisation of newer kernels.
  if setarch "$(uname -m)" -R true; then
    with=(setarch "$(uname -m)" -R)
  fi
  run_tests tsan -L threads
}

# rehearsal PRESET OUT: event log, bytes of the lines and answers of one seed with realistic instruments.
rehearsal() {
  local trace=tests/reference/porous-electrode/B/B_01.csv
  "build/$1/bin/leadwright" rehearse trace "$trace" --seed 7 --realistic --json \
    --log "$2.log" --wire "$2.wire" >"$2.json"
}

stage_determinism() {
  local run kind
  mkdir -p -- "$logs/worlds"
  compile release leadwright
  compile debug leadwright
  rehearsal release "$logs/worlds/first"
  rehearsal release "$logs/worlds/second"
  rehearsal debug "$logs/worlds/debug"
  wc -c "$logs"/worlds/*
  for kind in log wire json; do
    [[ -s $logs/worlds/first.$kind ]]
    for run in second debug; do
      cmp -- "$logs/worlds/first.$kind" "$logs/worlds/$run.$kind"
    done
  done
}

# hashes BUILD SEEDS: one line a seed, the fingerprint of its event log.
hashes() {
  "build/$1/bin/leadwright-simtest" --seeds "$2" --hours 0.5 --jobs "$jobs" --hashes | grep ' hash ' | sort -V
}

# Whole worlds from seeds: a thousand, and some twice, whose logs must be the same byte for byte; with --long
# a hundred of them in the debug build as well.
stage_seeds() {
  local hours=0.5 last=1000
  compile release leadwright-simtest
  if $long; then last=10000; fi
  build/release/bin/leadwright-simtest --seeds "1..$last" --hours "$hours" --jobs "$jobs"
  build/release/bin/leadwright-simtest --seeds 1..100 --hours "$hours" --jobs "$jobs" --twice
  if ! $long; then return; fi
  compile debug leadwright-simtest
  mkdir -p -- "$logs/worlds"
  hashes release 1..100 >"$logs/worlds/release.hashes"
  hashes debug 1..100 >"$logs/worlds/debug.hashes"
  cmp -- "$logs/worlds/release.hashes" "$logs/worlds/debug.hashes"
  wc -l -- "$logs/worlds/debug.hashes"
}

stage_reference() {
  compile release leadwright
  python3 -B tools/lib/reference.py build/release/bin/leadwright tests/reference/porous-electrode
  if $long; then
    compile release leadwright-forecast-trial
    build/release/bin/leadwright-forecast-trial held_out --kinds
  fi
}

# A few returns by one thread and by three: the same figures. With --long two hundred under each policy, which
# take some minutes each and are printed, not judged.
stage_returns() {
  local threads policy
  compile release leadwright
  mkdir -p -- "$logs/worlds"
  for threads in 1 3; do
    build/release/bin/leadwright rehearse returns --policy store_claim --count 4 --seed 1 \
      --threads "$threads" --json | python3 -m json.tool |
      grep -vE '"(cpu_s|threads)":' >"$logs/worlds/returns.$threads.json"
  done
  [[ -s $logs/worlds/returns.1.json ]]
  cmp -- "$logs/worlds/returns.1.json" "$logs/worlds/returns.3.json"
  $long || return 0
  for policy in config/policies/*.toml; do
    build/release/bin/leadwright rehearse returns --policy "$policy" --count 200 --seed 11
  done
}
