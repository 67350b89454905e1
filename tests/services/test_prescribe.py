"""What a solver writes past Python does not reach the answer."""

import subprocess
import sys

PROGRAM = """
import os
from rootcase.services.prescribe import silent_output
print("before")
with silent_output():
    os.write(1, b"the solver speaks")
print("after")
"""


def test_what_the_solver_writes_stays_out_of_the_output():
    done = subprocess.run([sys.executable, "-c", PROGRAM], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines() == ["before", "after"]
