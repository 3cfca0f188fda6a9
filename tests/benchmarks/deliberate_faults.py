"""Do the tests bite? Deliberate faults, each of which some test must find.

Each fault is put into a copy of the project, and the tests beside that file are run there:
`python tests/benchmarks/deliberate_faults.py`. It prints what each fault did, and ends with 1 where
one was not found.
"""

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]
UNCERTAINTY = "moonreach/reduction/uncertainty.py"
COMPARISON = "moonreach/reduction/comparison.py"
MISTAKES = "moonreach/exercises/mistakes.py"

# What is wrong, the file, the line's text and what stands in its place, the folder of the tests.
FAULTS = (
    (
        "the mean of contradicting readings without the root of their number",
        UNCERTAINTY,
        "_scatter(readings) / np.sqrt(count), count - 1",
        "_scatter(readings), count - 1",
        "reduction",
    ),
    (
        "half the chi-square limit",
        UNCERTAINTY,
        "return float(chdtri(freedom, 1e-4))",
        "return float(chdtri(freedom, 1e-4)) / 2",
        "reduction",
    ),
    (
        "readings of one family do not share their draw",
        UNCERTAINTY,
        "_student_stretch(family or name, freedom)",
        "_student_stretch(name, freedom)",
        "reduction",
    ),
    (
        "the budget of an inverted outcome with 1 / v",
        "moonreach/reduction/propagation.py",
        "top / self.value**2",
        "top / self.value",
        "reduction",
    ),
    (
        "half a step of resolution doubled",
        "moonreach/sheet/cells.py",
        "return value, 0.5 * 10.0**last",
        "return value, 1.0 * 10.0**last",
        "sheet",
    ),
    (
        "Student's t of the class mean with n for n - 1",
        COMPARISON,
        "stdtrit(len(outcomes) - 1,",
        "stdtrit(len(outcomes),",
        "reduction",
    ),
    (
        "the greatest common part in place of the median",
        COMPARISON,
        "np.median(cluster)",
        "np.max(cluster)",
        "reduction",
    ),
    (
        "limits of the disc widened tenfold",
        "moonreach/sheet/quantities.csv",
        "0.1 mm,1 m,0.5 %",
        "0.01 mm,10 m,0.5 %",
        "sheet",
    ),
    (
        "limits of a phase widened tenfold",
        "moonreach/sheet/quantities.csv",
        "0 s,4 h,60 s",
        "0 s,40 h,60 s",
        "sheet",
    ),
    (
        "a missing fourth contact one minute late",
        "moonreach/reduction/chain.py",
        "phases(u1, u2, u3, u3 + u2 - u1)",
        "phases(u1, u2, u3, u3 + u2 - u1 + 1 * u.min)",
        "reduction",
    ),
    (
        "a mistake is named for a gain of chance",
        MISTAKES,
        "ENOUGH = FAR**2",
        "ENOUGH = 3.0",
        "exercises/test_mistakes.py",
    ),
    (
        "many ways of undoing are rewarded",
        MISTAKES,
        "- 2 * np.log(tries)",
        "+ 2 * np.log(tries)",
        "exercises/test_mistakes.py",
    ),
    (
        "a wide interval excuses twenty times the usual",
        "moonreach/exercises/deviations.py",
        "EXCUSE = 2.0",
        "EXCUSE = 20.0",
        "exercises/test_mistakes.py",
    ),
)


def found(copy, path, right, wrong, tests):
    """Return whether the tests in a copy of the project find that a line is wrong."""
    file = copy / path
    text = file.read_text(encoding="utf-8")
    assert text.count(right) == 1, f"{path} has no single {right!r}"
    file.write_text(text.replace(right, wrong), encoding="utf-8")
    options = ["-q", "-x", "-p", "no:nbval", "-p", "no:cacheprovider", "--import-mode=importlib"]
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-o", "addopts=", *options, f"tests/{tests}"],
        cwd=copy,
        env=os.environ | {"PYTHONPATH": str(copy)},
        capture_output=True,
        text=True,
        check=False,
    )
    file.write_text(text, encoding="utf-8")
    last = [line for line in done.stdout.splitlines() if line.startswith("FAILED")]
    print("   ", *last[:1] or ["nothing failed"])
    return done.returncode == 1


def main():
    """Try each fault; return 1 where one was not found."""
    missed = []
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "copy"
        ignored = shutil.ignore_patterns(".git", ".*cache", "*.egg-info", "__pycache__", ".venv")
        shutil.copytree(PROJECT, copy, ignore=ignored)
        for what, *fault in FAULTS:
            print(what, flush=True)
            if not found(copy, *fault):
                missed.append(what)
    print(f"{len(FAULTS) - len(missed)} of {len(FAULTS)} found; missed: {missed or 'none'}")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
