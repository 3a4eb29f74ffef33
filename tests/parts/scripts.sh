#!/usr/bin/env bash
source "$(dirname "${BASH_SOURCE[0]}")/../lib.sh"
have shellcheck || skip "shellcheck is missing" "apt-get install shellcheck"

shellcheck --external-sources --source-path=SCRIPTDIR tests/run tests/*.sh tests/parts/*.sh .ci/run
