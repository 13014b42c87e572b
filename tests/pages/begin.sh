# Shared by the scripts beside this one: sets up a scratch folder and counts what passes and fails.
#
#     . "$(dirname "${BASH_SOURCE[0]}")/begin.sh"     $wale, $tool: the built programs; $scratch: an empty folder
#     check "the scarf is whole" test -s scarf.pdf    runs a command; what it said is shown where it failed
#     collection                                      sets $collection: the folder of the built examples, to read only
#     follows SCHEMA REPORT...                        JSON reports keep to their schema; what does not is told
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

# Built once for all scripts by the test `pages_collection`; by a script that is run alone, for itself.
collection() {
  collection=${WALE_COLLECTION:-$scratch/collection}
  [[ -n ${WALE_COLLECTION:-} ]] || check "the collection builds" "$wale" build "$root/examples" --to "$collection"
}

# By a validator that is not ours (python3-jsonschema). Debian's Python has it; another that comes first on the PATH may not.
follows() {
  /usr/bin/python3 - "$@" <<'PYTHON'
import json, sys
import jsonschema
schema, *reports = ((path, json.load(open(path))) for path in sys.argv[1:])
validator = jsonschema.validators.validator_for(schema[1])
validator.check_schema(schema[1])
validator = validator(schema[1], format_checker=jsonschema.FormatChecker())
errors = [(path, error) for path, report in reports for error in validator.iter_errors(report)]
for path, error in errors[:5]:
    print(path, list(error.path), error.message[:300])
sys.exit(1 if errors or not reports else 0)
PYTHON
}

finish() {
  # Nothing looked at is nothing shown.
  ((passed + failed > 0)) || failed=1
  echo "$passed passed, $failed failed"
  ((failed == 0)) || exit 1
}
