# SPDX-License-Identifier: Apache-2.0
# shellcheck shell=bash disable=SC2154 # root, logs, long and stage_name are set by tools/check
# The stages of tools/check that run the real daemon on a simulated bench; stages.sh says how a stage runs.

stage_kill() {
  local kills=200
  if $long; then kills=10000; fi
  compile release leadwrightd benchsim store_crash_test
  python3 -B tools/lib/kill_test.py "$root"
  STORE_KILLS=$kills build/release/bin/store_crash_test --gtest_brief=1 | tee "$logs/kill.out"
  grep -q PASSED "$logs/kill.out"
  echo "the store: $kills kills"
}

stage_api() {
  compile release leadwrightd leadwright benchsim
  python3 -B tools/lib/contract.py "$root"
}

# The day of the manual, on the simulated bench: each line of it must go as it says.
stage_day() {
  compile release leadwrightd leadwright benchsim
  tools/lib/counter_day.sh build/release/bin
}

# The demo runs once for two stages: its page is looked at while it is up, the verdict kept for stage_page.
stage_quickstart() {
  compile release
  touch -- "$logs/demo.ran"
  # shellcheck disable=SC2016 # expanded by the shell that --with starts
  CHECK_LOGS=$logs tools/quickstart --once --no-install \
    --with 'python3 -B tools/lib/demo_reference.py config/demo/returns.toml || exit
      bash tools/lib/page_test.sh >"$CHECK_LOGS/page-demo.log" 2>&1; echo $? >"$CHECK_LOGS/page.code"'
}

stage_page() {
  local code=0
  command -v chromium >/dev/null || cannot "no chromium"
  command -v npm >/dev/null || cannot "no npm"
  compile release serve_snapshot leadwrightd leadwright benchsim
  bash tools/lib/page_test.sh || code=$?
  ((code != 69)) || cannot "npm could not fetch the pinned packages"
  ((code == 0)) || return "$code"
  # Its own verdict is another stage's: here only what was seen of the page counts, and that is asked below.
  [[ -e $logs/demo.ran ]] || stage_quickstart || true
  if [[ ! -e $logs/page.code ]]; then
    echo "the page of the demo was never up"
    return 1
  fi
  cat -- "$logs/page-demo.log"
  return "$(<"$logs/page.code")"
}
