#!/usr/bin/env bash
# Independent libraries recompute what the metrics found. They are installed into target/, nowhere else.
source "$(dirname "${BASH_SOURCE[0]}")/../lib.sh"
have_venv || skip "Python's venv is missing" "apt-get install python3-venv"

readonly peers=target/peers
readonly python=$peers/venv/bin/python

[[ -x $python ]] || python3 -m venv "$peers/venv"
"$python" -m pip install --quiet --disable-pip-version-check --only-binary :all: \
  --requirement tests/peers/requirements.txt ||
  skip "numpy, scipy and colour-science could not be installed" "bash tests/parts/peers.sh, with a network"

cargo run --quiet --package milliglow-tests --example ten_waveforms >"$peers/ten_waveforms.json"
"$python" tests/peers/flicker_scipy.py "$peers/ten_waveforms.json"

cargo run --quiet --package milliglow-tests --example buck_currents >"$peers/buck_currents.json"
"$python" tests/peers/buck_scipy.py "$peers/buck_currents.json"
cargo run --quiet --package milliglow-tests --example fifty_mixtures >"$peers/fifty_mixtures.json"
"$python" tests/peers/whites_colour_science.py "$peers/fifty_mixtures.json"
