#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Tests the page in the system's browser: at LEADWRIGHT_URL if that is set, a real bench, where it looks and
# then lets two persons override a grade; else with the canned data of serve_snapshot, where it works all of
# the page, and then takes a battery through the page of a daemon and a simulated bench of its own. Pictures
# go to build/check-page. 69: npm failed.
set -euo pipefail
root=$(cd -- "$(dirname -- "${BASH_SOURCE[0]}")/../.." && pwd -P)
pictures=$root/build/check-page
cd -- "$root/tests/page"
node words.mjs
npm ci --no-audit --no-fund || exit 69
if [[ -n ${LEADWRIGHT_URL:-} ]]; then
  code=0
  node page.mjs "$LEADWRIGHT_URL" "$pictures/demo" || code=$?
  node second_person.mjs "$LEADWRIGHT_URL" "$pictures/demo" || code=$?
  exit "$code"
fi
node page.mjs --serve "$root/build/release/bin/serve_snapshot" "$pictures/canned"
exec node real_bench.mjs "$root/build/release/bin" "$pictures/real"
