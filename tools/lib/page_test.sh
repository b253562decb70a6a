#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Tests the page at LEADWRIGHT_URL in the system's browser. Screenshots go to build/check/page.
set -euo pipefail
root=$(cd -- "$(dirname -- "${BASH_SOURCE[0]}")/../.." && pwd -P)
cd -- "$root/tests/page"
npm ci --no-audit --no-fund
mkdir -p -- "$root/build/check/page"
exec node page.mjs "$LEADWRIGHT_URL" "$root/build/check/page"
