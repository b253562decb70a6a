#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# program_test.sh LEADWRIGHT SERVE_SNAPSHOT BENCH_JSON: exit codes and output of the client program.
set -uo pipefail
leadwright=$1 serve=$2 bench=$3
work=$(mktemp -d)
failures=0
mkfifo "$work/stdin"
"$serve" "$bench" <"$work/stdin" >"$work/state_url" &
server=$!
exec 3>"$work/stdin"
trap 'exec 3>&-; wait "$server"; rm -rf "$work"' EXIT
for ((i = 0; i < 1000; i++)); do
  [[ -s $work/state_url ]] && break
  read -r -t 0.01 <>/dev/zero || true
done
mkdir "$work/state"
cp "$work/state_url" "$work/state/url"
unset LEADWRIGHT_URL

# expect CODE TEXT ARGUMENT...: TEXT must be in standard output or standard error.
expect() {
  local code=$1 text=$2 output got
  shift 2
  output=$("$leadwright" "$@" 2>&1 </dev/null)
  got=$?
  if [[ $got -ne $code || $output != *"$text"* ]]; then
    echo "failed: leadwright $*: exit $got, not $code, or no \"$text\" in: $output"
    failures=$((failures + 1))
  fi
}

state=(--state "$work/state")
expect 0 'Exit codes: 0 done' --help
expect 0 'leadwright 0.' --version
expect 64 'subcommand' ticket
expect 64 'required' ticket show
expect 64 'handed_back' ticket close T-000001-3 --as lost
expect 65 'does not start with http://' --url ftp://127.0.0.1 place list
expect 65 "not an amount in A: 640 V: --cca" "${state[@]}" ticket add --serial EX-1 --cca '640 V'
expect 66 'no such place: bay-9' "${state[@]}" place acknowledge bay-9
expect 66 'no such place: bay-9' "${state[@]}" run watch bay-9
expect 69 'nothing answers' --url http://127.0.0.1:1 place list
expect 75 'nothing runs there: bay-2' "${state[@]}" run watch bay-2
expect 0 'ticket T-000008-0' "${state[@]}" ticket add --serial EX-1 --chemistry agm --cells 6
expect 0 '"verb":"stop.all"' "${state[@]}" --json stop all
expect 0 '"actor":"ana"' "${state[@]}" --json --actor ana place stop bay-1 --why smells
expect 0 'Before energy flows' "${state[@]}" place acknowledge bay-2
expect 0 '"body":"{\"place\":\"bay-1\"}"' "${state[@]}" --json ticket move T-000001-3 bay-1
expect 64 '--until' ticket hold T-000001-3
expect 0 '"body":"{\"until\":\"2026-01-31\",\"why\":\"no room\"}"' "${state[@]}" --json \
  ticket hold T-000001-3 --until 2026-01-31 --why 'no room'
expect 0 '"verb":"ticket.recheck"' "${state[@]}" --json ticket recheck T-000001-3
expect 0 '"verb":"ticket.override"' "${state[@]}" --json \
  ticket override T-000001-9 --letter C --why 'for a pump'
expect 0 '"body":"{\"letter\":\"C\",\"why\":\"for a pump\"}"' "${state[@]}" --json \
  ticket override T-000001-9 --letter C --why 'for a pump'
expect 64 'F not in' ticket override T-000001-9 --letter F --why 'looks bad'
expect 64 'why' ticket override T-000001-9 --letter C
expect 0 '"verb":"ticket.override.confirm"' "${state[@]}" --json \
  ticket override-confirm T-000001-9 --letter C
expect 64 'letter' ticket override-confirm T-000001-9
expect 0 '"verb":"ticket.override.withdraw"' "${state[@]}" --json \
  ticket override-withdraw T-000001-9 --why 'ask again'
expect 0 '77 refused for safety' ticket override --help
expect 0 '"subject":"EX-60-FL"' "${state[@]}" --json part show EX-60-FL
expect 65 'not a part' "${state[@]}" ticket add --serial EX-1 --part EX-60-FL
expect 1 '"verb":"fitting.check"' "${state[@]}" --json fitting check --chemistry agm --cells 6
expect 65 '--drain' "${state[@]}" fitting check --chemistry agm --cells 6 --drain '0.3 A'
expect 0 'may be fitted; 1 not yet' fitting check --help
expect 0 'T-000006-4' "${state[@]}" bench show --search T-000006
expect 0 '"queue"' "${state[@]}" --json bench show
expect 0 '"tokens":false' "${state[@]}" --json session show
printf 'serial,volts,seen\nC-1,12.4,\nC-2,12.4,leaking\nC-3,6.1,\n' >"$work/cores.csv"
expect 0 'too_low' "${state[@]}" ticket batch --file "$work/cores.csv" --chemistry agm --cells 6 --only-look
expect 0 'T-000008-0' "${state[@]}" ticket batch --file "$work/cores.csv" --chemistry agm --cells 6
expect 65 'line 1' "${state[@]}" ticket batch --file "$bench" --chemistry agm
expect 66 'no-such.csv' "${state[@]}" ticket batch --file no-such.csv
expect 64 'not in' export "$work/out" --format xlsx
expect 0 'config/export.md' export --help

# completes WORDS WORD...: what bash offers behind these words.
completes() {
  local wanted=$1 offered
  shift
  "$leadwright" completion bash >"$work/completion"
  # shellcheck disable=SC2016 # expanded by the shell that is asked
  offered=$(bash -c 'source "$1"; shift
    COMP_WORDS=(leadwright "$@") COMP_CWORD=$#; _leadwright; echo "${COMPREPLY[*]}"' \
    _ "$work/completion" "$@")
  [[ $offered != *"$wanted"* ]] || return 0
  echo "failed: completion of leadwright $*: no \"$wanted\" in: $offered"
  failures=$((failures + 1))
}
completes 'override override-confirm override-withdraw' ticket ov
completes '--letter' ticket override T-000001-9 --le
completes 'A B C D U' ticket override T-000001-9 --letter ''
completes 'handed_back' ticket close --as ha
completes '--json' ticket --js
completes 'probe' instrument pr
completes 'list erase' person ''
expect 64 'required' run trace
expect 0 '"subject":"R-000001"' "${state[@]}" --json run trace R-000001
expect 65 'not a trace' "${state[@]}" run trace R-000001 --csv -
expect 65 'only .pdf and .svg' "${state[@]}" certificate write T-000001-9 --out page.png
expect 74 'check that the folder exists' "${state[@]}" certificate write T-000001-9 --out "$work/page.pdf"
expect 64 'letter' "${state[@]}" certificate write T-000001-9 --paper a3
expect 0 'leadwright-public-key-1 ' "${state[@]}" certificate key
"$leadwright" "${state[@]}" certificate key >"$work/bench.key"
expect 65 'there is no statement' certificate verify "$bench" --key "$work/bench.key"
expect 66 'no-such.pdf' certificate verify no-such.pdf --key "$work/bench.key"
expect 65 'no public key' certificate verify "$bench" --key "$bench"
expect 0 'zbarimg' certificate --help
expect 0 '"verb":"person.list"' "${state[@]}" --json person list
expect 0 '"subject":"P-7"' "${state[@]}" --json person erase P-7 --why asked
expect 0 '"body":"{\"why\":\"asked\"}"' "${state[@]}" --json person erase P-7 --why asked
expect 64 'why' person erase P-7
expect 0 'Revoke the person' person erase --help
expect 64 'required' instrument show
expect 64 'watch' instrument trace bay-1.load maybe
expect 0 '"verb":"instrument.list"' "${state[@]}" --json instrument list
expect 0 '"subject":"bay-1.load"' "${state[@]}" --json instrument show bay-1.load
expect 0 '"verb":"instrument.trace"' "${state[@]}" --json instrument trace bay-1.load
expect 0 '"body":"{\"on\":true}"' "${state[@]}" --json instrument trace bay-1.load on
expect 65 'not a trace' "${state[@]}" instrument trace bay-1.load watch
LEADWRIGHT_URL=$(cat "$work/state_url") expect 0 '"verb":"place.list"' --json place list
LEADWRIGHT_URL=http://127.0.0.1:1 expect 0 '"verb":"place.list"' "${state[@]}" --json place list

echo "client program: $failures failed"
((failures == 0))
