#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Programs of others read our certificates and labels, and the client verifies them as its users would.

poppler reads page, size and text, and renders what zbar scans. A peer that is not there is named ("not run:
NAME: reason"), and is a failure only with --require-all. Exit 1 if any test fails.
"""

import argparse
import shutil
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

from peers_present import not_run, run_tests

TICKET = "T-000001-9"
GRADE_SENTENCE = "Gives 96 min of reserve capacity against the rated 100 min: sound."
# What a phone's camera and a cheap scanner see of a printed sheet, at the least.
PAGE_DPI = "150"
LABEL_DPI = "300"
PEERS = ("pdfinfo", "pdftotext", "pdftoppm", "zbarimg")


def output(*words) -> str:
    return subprocess.run([str(word) for word in words], capture_output=True, text=True, check=True).stdout


class Paper(unittest.TestCase):
    programs: Path
    folder: Path

    def file(self, name: str) -> Path:
        return self.folder / name

    def verify(self, file: Path):
        command = [self.programs / "leadwright", "certificate", "verify", file]
        return subprocess.run([*command, "--key", self.file("bench.key")],
                              capture_output=True, text=True, check=False)

    def scanned(self, name: str, dpi: str) -> str:
        picture = self.file(name).with_suffix("")
        output("pdftoppm", "-r", dpi, "-png", "-singlefile", self.file(name), picture)
        return output("zbarimg", "-q", "--raw", picture.with_suffix(".png")).strip()


class PopplerReads(Paper):
    def test_one_page_of_the_wanted_size(self):
        sizes = (("sound.pdf", "(A4)"), ("sound-letter.pdf", "(letter)"), ("crowded.pdf", "(letter)"))
        for name, size in sizes:
            about = output("pdfinfo", self.file(name))
            self.assertRegex(about, r"Pages: +1\n")
            self.assertIn(size, about)

    def test_the_grade_the_minutes_and_that_it_is_simulated_as_text(self):
        text = output("pdftotext", "-layout", self.file("sound.pdf"), "-")
        for words in (TICKET, GRADE_SENTENCE, "96.4 ± 3.0 min", "SIMULATED BENCH", "Not measured",
                      "calibrated until 2027-03-01", "Never charge a frozen"):
            self.assertIn(words, text)

    def test_that_two_persons_set_the_letter_with_their_reason_and_the_benchs_own(self):
        for name in ("overridden.pdf", "label-overridden.pdf"):
            text = " ".join(output("pdftotext", "-layout", self.file(name), "-").split())
            for words in ("et by two persons", "Its posts are worn down", "bench's own letter: B"):
                self.assertIn(words, text, name)

    def test_that_a_stopped_discharge_was_stopped_and_that_more_is_in_the_statement(self):
        text = output("pdftotext", "-layout", self.file("crowded.pdf"), "-")
        self.assertIn("at least 96 min, stopped there", text)
        self.assertRegex(text, r"\d+ more findings are in the signed statement")


class ZbarScans(Paper):
    def test_the_ticket_off_labels_of_the_usual_and_of_the_least_width(self):
        for name in ("label.pdf", "label-narrow.pdf", "label-overridden.pdf"):
            self.assertEqual(TICKET, self.scanned(name, LABEL_DPI))

    def test_a_line_off_the_page_that_the_client_finds_good(self):
        for name in ("sound.pdf", "sound-letter.pdf", "crowded.pdf", "overridden.pdf"):
            line = self.scanned(name, PAGE_DPI)
            slip = self.file(name).with_suffix(".slip")
            slip.write_text(line + "\n", encoding="utf-8")
            found = self.verify(slip)
            self.assertEqual(0, found.returncode, found.stdout)
            slip.write_text(line.replace("grade ", "grade A, not ") + "\n", encoding="utf-8")
            self.assertEqual(1, self.verify(slip).returncode)


class ClientVerifies(Paper):
    def test_a_good_document(self):
        for name in ("sound.pdf", "sound.svg", "crowded.pdf", "overridden.pdf"):
            found = self.verify(self.file(name))
            self.assertEqual(0, found.returncode, found.stdout)
            self.assertIn("good.", found.stdout)
            self.assertIn(f"ticket: {TICKET}", found.stdout)

    def test_an_altered_document(self):
        altered = self.file("altered.svg")
        # The page is outlines: any change of a coordinate is one of the drawing.
        text = self.file("sound.svg").read_text(encoding="utf-8")
        altered.write_text(text.replace("<path", "<path opacity='0'", 1), encoding="utf-8")
        found = self.verify(altered)
        self.assertEqual(1, found.returncode)
        self.assertIn("page changed.", found.stdout)
        self.assertIn(f"ticket: {TICKET}", found.stdout)

    def test_an_altered_statement(self):
        bytes_ = self.file("sound.pdf").read_bytes()
        at = bytes_.index(b"leadwright-certificate-1:") + 200
        altered = self.file("altered.pdf")
        altered.write_bytes(bytes_[:at] + (b"A" if bytes_[at:at + 1] != b"A" else b"B") + bytes_[at + 1:])
        found = self.verify(altered)
        self.assertEqual(1, found.returncode)
        self.assertIn("altered.", found.stdout)
        self.assertNotIn("ticket:", found.stdout)

    def test_a_foreign_document(self):
        found = self.verify(self.file("foreign.pdf"))
        self.assertEqual(1, found.returncode)
        self.assertIn("foreign.", found.stdout)

    def test_what_is_no_certificate(self):
        self.assertEqual(65, self.verify(self.file("label.pdf")).returncode)
        self.assertEqual(66, self.verify(self.file("none.pdf")).returncode)


def main() -> int:
    plain = argparse.RawDescriptionHelpFormatter
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=plain)
    parser.add_argument("build", type=Path, help="the build folder, which holds the programs in bin")
    parser.add_argument("--require-all", action="store_true", help="a peer that is not there is a failure")
    options = parser.parse_args()
    Paper.programs = (options.build / "bin").resolve()
    missing = [name for name in PEERS if not shutil.which(name)]
    not_run.extend(f"{name}: no such program" for name in missing)
    with tempfile.TemporaryDirectory() as folder:
        Paper.folder = Path(folder)
        output(Paper.programs / "draw_examples", folder)
        peers = [ClientVerifies] if missing else [PopplerReads, ZbarScans, ClientVerifies]
        return 0 if run_tests(peers, options.require_all) else 1


if __name__ == "__main__":
    sys.exit(main())
