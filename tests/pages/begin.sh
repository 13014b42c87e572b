# Shared by the scripts beside this one: sets up a scratch folder and counts what passes and fails.
#
#     . "$(dirname "${BASH_SOURCE[0]}")/begin.sh"     $wale, $tool: the built programs; $scratch: an empty folder
#     check "the scarf is whole" test -s scarf.pdf    runs a command; what it said is shown where it failed
#     follows SCHEMA REPORT                           a JSON report keeps to its schema; what does not is told
#     finish                                          the tally, and the exit status
set -uo pipefail
export LC_ALL=C.UTF-8 TZ=UTC
unset SOURCE_DATE_EPOCH

tests=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
root=$(cd "$tests/../.." && pwd)
wale=${1:?the wale program}
tool=${2:?the page_tool program}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
passed=0 failed=0

check() {
  local name=$1
  shift
  if "$@" >"$scratch/said" 2>&1; then
    passed=$((passed + 1))
  else
    failed=$((failed + 1))
    echo "FAILED: $name"
    head -n 20 "$scratch/said" | sed 's/^/    /'
  fi
}

# By a validator that is not ours (python3-jsonschema). Debian's Python has it; another that comes first on the PATH may not.
follows() {
  /usr/bin/python3 - "$1" "$2" <<'PYTHON'
import json, sys
import jsonschema
schema, report = (json.load(open(path)) for path in sys.argv[1:])
validator = jsonschema.validators.validator_for(schema)
validator.check_schema(schema)
errors = list(validator(schema, format_checker=jsonschema.FormatChecker()).iter_errors(report))
for error in errors[:5]:
    print(list(error.path), error.message[:300])
sys.exit(1 if errors else 0)
PYTHON
}

finish() {
  # Nothing looked at is nothing shown.
  ((passed + failed > 0)) || failed=1
  echo "$passed passed, $failed failed"
  ((failed == 0)) || exit 1
}
