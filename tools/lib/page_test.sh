#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Tests the page in the system's browser: at LEADWRIGHT_URL if that is set, where it only looks, else with the
# canned data of serve_snapshot, where it works the page too. Pictures go to build/check-page. 69: npm failed.
set -euo pipefail
root=$(cd -- "$(dirname -- "${BASH_SOURCE[0]}")/../.." && pwd -P)
pictures=$root/build/check-page
cd -- "$root/tests/page"
node words.mjs
npm ci --no-audit --no-fund || exit 69
if [[ -n ${LEADWRIGHT_URL:-} ]]; then
  exec node page.mjs "$LEADWRIGHT_URL" "$pictures/demo"
fi
exec node page.mjs --serve "$root/build/release/bin/serve_snapshot" "$pictures/canned"
