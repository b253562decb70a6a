#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# A full day at the counter from the client alone: counter_day.sh PROGRAMS [FOLDER]
#
# Read it as a manual: each line with `${ana[@]}` or `${bob[@]}` is what a clerk or a bench hand types, each
# `benchsim ask` stands for what hands do (clamps on, a plug comes out), and `expect` says what must come of
# it. PROGRAMS holds leadwrightd, leadwright and benchsim; the bench is simulated and runs SCALE (240) times
# as fast, so that the day takes some two minutes. Everything lies in FOLDER (a new temporary one), which
# stays only if something went wrong. Exit 0: the day went as written here. tools/check runs it as its stage
# "day".
set -euo pipefail
programs=$(cd -- "$1" && pwd -P)
tree=$(cd -- "$(dirname -- "${BASH_SOURCE[0]}")/../.." && pwd -P)
folder=${2:-$(mktemp -d -t leadwright-day-XXXXXX)}
mkdir -p -- "$folder"
cd -- "$folder"
PATH=$programs:$PATH
# The client finds the daemon by its state folder; who acts is said by --actor, else it is the login name.
ana=(leadwright --state state --actor ana)
bob=(leadwright --state state --actor bob)

say() { printf '\n== %s (%s s)\n' "$*" "$SECONDS"; }
fail() {
  echo "day: $1 (logs and files in $folder)" >&2
  exit 1
}

# expect CODE TEXT COMMAND...: it ends with CODE, and TEXT is in what it prints. Shows the command.
expect() {
  local code=$1 text=$2 got=0 said typed
  shift 2
  typed=$*
  printf '$ %s\n' "${typed/ --state state/}"
  said=$("$@" 2>&1) || got=$?
  printf '  %s\n' "${said//$'\n'/$'\n'  }"
  [[ $got -eq $code && $said == *"$text"* ]] || fail "exit $got, not $code, or no \"$text\": $*"
}

# until_says TEXT COMMAND...: asks again until TEXT is in what it prints, for at most three minutes.
until_says() {
  local text=$1 turn
  shift
  for ((turn = 0; turn < 900; turn++)); do
    [[ $("$@" 2>&1) == *"$text"* ]] && return 0
    sleep 0.2
  done
  fail "three minutes in vain for \"$text\": $*"
}

# ticket_of TEXT: the number of the ticket in it.
ticket_of() { grep -oE 'T-[0-9]{6,}-[0-9X]' <<<"$1" | head -n 1; }

# ------------------------------------------------------------------ the bench is switched on in the morning
benchsim --state sim --bays 2 --charging-places 2 --scale "${SCALE:-240}" >benchsim.log 2>&1 &
bench=$!
daemon=
# shellcheck disable=SC2317 # reached through the trap
close_down() {
  local code=$?
  # They may have ended already, and end with the signal's code: the day's own code is what counts.
  [[ -z $daemon ]] || { kill "$daemon" && wait "$daemon"; } 2>/dev/null || true
  { kill "$bench" && wait "$bench"; } 2>/dev/null || true
  [[ $code -ne 0 ]] || { cd / && rm -rf -- "$folder"; }
}
trap close_down EXIT
for ((turn = 0; turn < 300; turn++)); do
  [[ -s sim/bench_time.toml ]] && break
  sleep 0.1
done

{
  printf 'schema = 1\n[bench]\nname = "the counter"\ntime = "sim/bench_time.toml"\n[web]\nport = 0\n'
  printf '[folders]\nprofiles = "%s"\nprocedures = "%s"\n' "$tree/config/profiles" "$tree/config/procedures"
  printf '[policy]\nfile = "%s"\n[estimator]\nfile = "%s"\n' "$tree/config/policies/bench.toml" \
    "$tree/config/estimator.toml"
  printf '[parts]\nfile = "%s"\n' "$tree/config/demo/parts.csv"
  printf '[[place]]\nname = "shelf"\nkind = "shelf"\n'
  for place in bay-1 bay-2 charge-1 charge-2; do
    kind=$([[ $place == bay-* ]] && echo bay || echo charging)
    printf '[[place]]\nname = "%s"\nkind = "%s"\n' "$place" "$kind"
    for role in load charger thermometer; do
      [[ $kind == charging && $role == load ]] ||
        printf '%s = { profile = "simulated_%s", link = "serial:%s" }\n' "$role" "$role" \
          "$PWD/sim/lines/$place.$role"
    done
  done
} >leadwright.toml
expect 0 '' leadwrightd --config leadwright.toml --check-config
leadwrightd --config leadwright.toml --state state >leadwrightd.log 2>&1 &
daemon=$!
until_says ready "${ana[@]}" place list
expect 0 'bay-1.load' "${ana[@]}" instrument list

# ------------------------------------------------------------------------- drop-offs, with a look at each one
say 'Three scans: the battery, its part, its receipt'
expect 0 '640' "${ana[@]}" part show EX-70-FL
added=$("${ana[@]}" ticket add --serial DAY-1 --part EX-70-FL --receipt 88213 \
  --complaint 'cranks slowly in the morning' --sold-on 2025-05-14 --monitor 'standing current too high')
sound=$(ticket_of "$added")
echo "  $added"

say 'What is cracked is taken in, never energised, and has no letter that anybody can change'
expect 0 'is refused' "${ana[@]}" ticket add --serial DAY-2 --part EX-60-EFB --seen cracked --remarks 'lid'
cracked=$(ticket_of "$("${ana[@]}" ticket list --state refused)")
expect 77 'keep it on a shelf' "${ana[@]}" ticket move "$cracked" bay-1
expect 77 'no role can override this' "${ana[@]}" ticket override "$cracked" --letter B --why 'it looks well'

say 'Many cores at once: volts and a look first, tickets for what survives'
printf '%s\n' 'serial,volts,seen' 'CORE-1,12.41,' 'CORE-2,12.55,leaking' 'CORE-3,6.10,' \
  'CORE-4,11.20,terminals_damaged' >cores.csv
expect 0 'too_low' "${ana[@]}" ticket batch --file cores.csv --part EX-60-FL --only-look
expect 0 'opened' "${ana[@]}" ticket batch --file cores.csv --part EX-60-FL
until_says CORE-4 "${ana[@]}" bench show
core=$(ticket_of "$("${ana[@]}" bench show --search CORE-1)")
expect 0 "$core" "${ana[@]}" bench show --search received
# Read again after a lost connection, the same file opens no second ticket.
expect 0 "$core" "${ana[@]}" ticket batch --file cores.csv --part EX-60-FL

say 'A new battery over the counter, by its label and a hand-held meter'
expect 0 'May be fitted' "${ana[@]}" fitting check --part EX-70-AGM --ocv '12.85 V' --stood '30 h' \
  --temperature '20 degC' --vehicle-chemistry agm --vehicle-c20 '70 Ah'

# -------------------------------------------------------------------------------- at the bench: moves, starts
say 'Clamps on; the battery and its place are scanned; the cautions come before the first ampere'
benchsim ask --state sim 'plug bay-1 cell:sound,charged=1' >/dev/null
expect 0 'at bay-1' "${bob[@]}" ticket move "$sound" bay-1
expect 75 'cautions' "${bob[@]}" place start bay-1
expect 0 'done' "${bob[@]}" place acknowledge bay-1 --of cautions
expect 0 'intake check' "${bob[@]}" place start bay-1
expect 0 'standard charge' "${bob[@]}" procedure plan 'standard charge' --place charge-1 --ticket "$core"

say "The charger's plug comes out in a charge: the place trips, and stays off until a person has looked"
benchsim ask --state sim 'plug bay-2 cell:discharged' >/dev/null
expect 0 'at bay-2' "${bob[@]}" ticket move "$core" bay-2
expect 0 'not the battery that its vehicle asks for' "${bob[@]}" ticket inspect "$core" \
  --seen terminals_corroded --weight-kg 15.8 --plus-at right --vehicle-plus-at left
expect 0 "$core is" "${bob[@]}" ticket inspect "$core" --gravity 1.21,1.21,-,1.15,1.21,1.21 --acid-degc 22
expect 0 'acid_cell_below_sg' "${bob[@]}" ticket show "$core"
expect 0 'intake check' "${bob[@]}" place start bay-2
until_says 'for the standard charge' "${bob[@]}" bench show --search "$core"
benchsim ask --state sim 'move bay-2 charge-2' >/dev/null
expect 0 'at charge-2' "${bob[@]}" ticket move "$core" charge-2
expect 0 'standard charge' "${bob[@]}" place start charge-2
until_says '"step":"charge"' "${bob[@]}" --json bench show
sleep 1
benchsim ask --state sim 'cable charge-2.charger out' >/dev/null
until_says 'ALARM: charge-2' "${bob[@]}" bench show
expect 0 'ALARM: charge-2' "${bob[@]}" bench show
expect 75 'tripped' "${bob[@]}" place start charge-2
benchsim ask --state sim 'cable charge-2.charger in' >/dev/null
expect 0 'done' "${bob[@]}" place acknowledge charge-2 --of trip --why 'somebody had stepped on its cable'
expect 0 'at shelf' "${bob[@]}" ticket move "$core" shelf --why 'it waits for another charger'

# ------------------------------------------------------------------------------------------ the afternoon
say 'The queue says what comes next: it is carried there, started, and followed to its end'
# On a machine that has too much to do a reading may come late, which trips the place as it must: looked at,
# acknowledged, begun again.
at=bay-1
carry_to() {
  benchsim ask --state sim "move $at $1" >/dev/null
  at=$1
  expect 0 "at $at" "${bob[@]}" ticket move "$sound" "$at"
}
for ((turn = 0; turn < 200; turn++)); do
  [[ $("${ana[@]}" ticket list --state graded) != *"$sound"* ]] || break
  case $("${bob[@]}" bench show --search "$sound") in
    *" held "*) fail "this machine has too much to do: three runs tripped, and the ticket is held" ;;
    *"ALARM: $at"*) expect 0 'done' "${bob[@]}" place acknowledge "$at" --of trip --why 'looked at' ;;
    *"Needs you: move to a charging place"*) carry_to charge-1 ;;
    *"Needs you: move to a bay"*) carry_to bay-1 ;;
    *"Needs you: start"*) "${bob[@]}" place start "$at" || true ;;
    *) "${bob[@]}" run watch "$at" || true ;;
  esac
  # The bench is shown at most half a second late.
  sleep 0.6
done
expect 0 'GRADE' "${ana[@]}" ticket show "$sound"

say 'Another letter than the bench gave: one person proposes it, a second one confirms it'
expect 0 'waits for a second person' "${ana[@]}" ticket override "$sound" --letter C \
  --why 'its posts are worn, so it is not sold as a good one'
expect 75 "can't confirm it" "${ana[@]}" ticket override-confirm "$sound" --letter C
expect 0 'stands as C' "${bob[@]}" ticket override-confirm "$sound" --letter C
expect 0 'set by two persons' "${ana[@]}" ticket show "$sound"

say 'Paper for the customer, which anybody can verify'
until_says 'page.pdf' "${ana[@]}" certificate write "$sound" --out page.pdf
expect 0 '' "${ana[@]}" certificate key
leadwright --state state certificate key >bench.key
expect 0 '' leadwright --state state certificate label "$sound" --out label.svg --width-mm 60
expect 0 'grade set by: two persons' leadwright certificate verify page.pdf --key bench.key
sed 's/D/E/' page.pdf >forged.pdf
expect 1 '' leadwright certificate verify forged.pdf --key bench.key

# ------------------------------------------------------------------------------------------- closing time
say 'What a test emptied does not go back to its owner before a recharge, whatever its letter'
expect 77 'recharge' "${ana[@]}" ticket close "$sound" --as handed_back
expect 0 'is closed' "${ana[@]}" ticket close "$sound" --as claimed --why 'exchanged'
expect 0 'is closed' "${ana[@]}" ticket close "$core" --as scrapped --why 'not worth a second try'
expect 0 'is closed' "${ana[@]}" ticket close "$cracked" --as scrapped

say 'Everything into files for other programs'
expect 0 'tickets.csv' "${ana[@]}" export out
expect 0 '' grep -q "^$sound,1,C," out/overrides.csv
expect 0 'samples.jsonl' "${ana[@]}" export out --format jsonl

say 'Off'
expect 0 '' "${ana[@]}" stop all --why 'closing time'
echo "day: as written, $SECONDS s"
