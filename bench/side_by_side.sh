#!/usr/bin/env bash
# The kernel, a numba loop of the same physics and SciPy's stiff solver, one after the other on this machine; only the ratios
# of one run count. Needs python3 with the packages of validation/requirements.txt (PYTHON names another one).
set -euo pipefail
cd "$(dirname "$0")/.."
python=${PYTHON:-python3}
echo "== kernel (criterion bench of crate bed)"
cargo bench --quiet -p bed --bench season 2>/dev/null | grep -E "bin-seasons per second|ends at"
echo "== numba loop of the same physics"
"$python" bench/numba_column.py
echo "== SciPy BDF"
"$python" bench/scipy_column.py
