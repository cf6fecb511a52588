#!/bin/sh
# Checks the plans that are about to be committed, as they are staged.
set -eu
springline="${SPRINGLINE:-springline}"
names="$(git diff --cached --name-only --diff-filter=ACMR -z -- '*.spring' | tr '\0' '\n')"
[ -n "$names" ] || exit 0
staged="$(mktemp -d)"
trap 'rm -rf "$staged"' EXIT
# All plans, because a case needs its house: but only those that change are judged.
git ls-files -z -- '*.spring' | git checkout-index -z --stdin --prefix="$staged/"
mkdir "$staged/.git"
cd "$staged"
printf '%s\n' "$names" | (
  set --
  while IFS= read -r name; do set -- "$@" "./$name"; done
  "$springline" fmt --check "$@" && "$springline" check "$@"
)
