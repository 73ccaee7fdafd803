#!/usr/bin/env bash
# Makes the reference values of the cross-checks anew, with the libraries pinned, and holds them against the committed ones.
# Ends with 1 where they differ by more than rounding. Writes nothing into the tree.
#
#     tests/crosscheck/check.sh [folder of a venv to make and keep]
set -euo pipefail
here="$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)"

venv="${1:-}"
if [ -z "$venv" ]; then
  venv="$(mktemp -d)"
  trap 'rm -rf "$venv"' EXIT
fi
[ -x "$venv/bin/python" ] || python3 -m venv "$venv"
"$venv/bin/pip" install --quiet --disable-pip-version-check --requirement "$here/requirements.txt"

wrong=0
"$venv/bin/python" "$here/make.py" --compare || wrong=1
"$venv/bin/python" "$here/routing.py" --compare || wrong=1
if [ "$wrong" -ne 0 ]; then
  echo "the committed reference values are not what the libraries give" >&2
fi
exit "$wrong"
