# SPDX-License-Identifier: Apache-2.0
"""Which outside peers are here, and the run of the tests of those that are."""

import importlib.util
import os
import sys
import unittest

DEBIAN_PYTHON = "/usr/bin/python3"

not_run: list[str] = []


def use_debian_python(*modules: str) -> None:
    """Debian's packages belong to Debian's own interpreter, which need not be the first in the path."""
    found = all(importlib.util.find_spec(name) for name in modules)
    if not found and os.path.exists(DEBIAN_PYTHON) and not os.path.samefile(sys.executable, DEBIAN_PYTHON):
        os.execv(DEBIAN_PYTHON, [DEBIAN_PYTHON, "-B", *sys.argv])


def has_module(name: str) -> bool:
    try:
        __import__(name)
    except ImportError as error:
        not_run.append(f"{name}: {error}")
        return False
    return True


def run_tests(peers: list[type], require_all: bool) -> bool:
    """True if all is well. A peer that is not there is named, and is a failure only with `require_all`."""
    loader = unittest.TestLoader()
    suite = unittest.TestSuite(loader.loadTestsFromTestCase(peer) for peer in peers)
    result = unittest.TextTestRunner(verbosity=1).run(suite)
    for line in not_run:
        print(f"not run: {line}")
    print(f"{result.testsRun} tests of outside peers, {len(result.failures) + len(result.errors)} failed")
    return result.wasSuccessful() and not (require_all and not_run)
