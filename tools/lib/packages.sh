# SPDX-License-Identifier: Apache-2.0
# shellcheck shell=bash
# Reads tools/packages.txt and installs what is missing. Sourced by tools/quickstart and tools/check.

# True if command $1 exists and says it is at least version $2.
command_is_new_enough() {
  local said found
  command -v "$1" >/dev/null || return 1
  said=$("$1" --version 2>/dev/null </dev/null) || return 1
  [[ $said =~ ([0-9]+(\.[0-9]+)*) ]] || return 1
  found=${BASH_REMATCH[1]}
  [[ $(printf '%s\n%s\n' "$2" "$found" | sort -V) == "$2"$'\n'* ]]
}

package_is_installed() {
  local status
  status=$(dpkg-query -W -f='${db:Status-Status}' "$1" 2>/dev/null) && [[ $status == installed ]]
}

# packages_missing LIST GROUP...: prints "package<TAB>reason" for each row of the groups that is not met.
packages_missing() {
  local list=$1 group="" line row reason need package
  shift
  while IFS= read -r line; do
    row=${line%%#*}
    row=${row//[[:space:]]/}
    reason=${line#*#}
    [[ -n $row ]] || continue
    if [[ $row == "["*"]" ]]; then
      group=${row:1:-1}
      continue
    fi
    [[ " $* " == *" $group "* ]] || continue
    if [[ $row == *">="*"|"* ]]; then
      need=${row%%|*}
      package=${row#*|}
      command_is_new_enough "${need%%>=*}" "${need#*>=}" && continue
    else
      package=$row
    fi
    package_is_installed "$package" || printf '%s\t%s\n' "$package" "${reason# }"
  done <"$list"
}

# packages_install LIST GROUP...: says what it installs and why, and does it. Asks nobody anything and removes
# nothing. 0 if all is there at the end; 1 with the reason on stderr otherwise.
packages_install() {
  local missing names=() name reason as_root=()
  missing=$(packages_missing "$@")
  if [[ -z $missing ]]; then
    echo "packages: all present, nothing to install"
    return 0
  fi
  while IFS=$'\t' read -r name reason; do
    names+=("$name")
  done <<<"$missing"
  if ! command -v apt-get >/dev/null; then
    echo "packages: missing ${names[*]}, and this is no Debian: install them your own way and start again" >&2
    return 1
  fi
  if ((EUID != 0)); then
    if ! command -v sudo >/dev/null; then
      echo "packages: missing ${names[*]}; as root: apt-get install --no-install-recommends ${names[*]}" >&2
      return 1
    fi
    as_root=(sudo)
    [[ -t 0 ]] || as_root+=(-n)
  fi
  echo "packages: installing ${#names[@]} Debian packages${as_root[*]:+ through sudo}:"
  while IFS=$'\t' read -r name reason; do
    printf '  %-24s %s\n' "$name" "$reason"
  done <<<"$missing"
  # As root, apt reads nothing from us; --no-remove keeps what stands in the way (see the message below).
  if ! "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -qq update ||
    ! "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -qq -y --no-install-recommends --no-remove \
      -o Dpkg::Use-Pty=0 install "${names[@]}" >/dev/null; then
    echo "packages: apt-get failed, see above. libboost1.81-dev can't stand beside libboost-dev 1.74:" \
      "remove that one (and what needs it) by hand if apt names it; nothing was removed for you." >&2
    return 1
  fi
}
