# SPDX-License-Identifier: Apache-2.0
"""Each rule of tools/tidy fires on a bad sample, and stays silent on the good one beside it."""

import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

TIDY = Path(__file__).resolve().parents[2] / "tools" / "tidy"
SPDX = "// SPDX-License-Identifier: Apache-2.0\n"
NOTE = "TO" + "DO"


def tidy(files: dict[str, str]) -> list[str]:
    with tempfile.TemporaryDirectory() as folder:
        for name, text in files.items():
            path = Path(folder) / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        run = subprocess.run([sys.executable, str(TIDY), "--root", folder],
                             capture_output=True, text=True, check=False)
        lines = run.stdout.splitlines()
        assert run.returncode == (1 if lines else 0), run.stderr
        return lines


def lines_of(count: int) -> str:
    return "".join(f"int v{number} = {number};\n" for number in range(count))


def function_of(count: int) -> str:
    return "void f() {\n" + "".join(f"  g({number});\n" for number in range(count)) + "}\n"


class Tidy(unittest.TestCase):
    def fires(self, name: str, body: str, says: str, line: int = 2):
        found = tidy({name: SPDX + body})
        self.assertEqual(1, len(found), found)
        self.assertTrue(found[0].startswith(f"{name}:{line}: "), found[0])
        self.assertIn(says, found[0])

    def silent(self, name: str, body: str):
        self.assertEqual([], tidy({name: SPDX + body}))

    def test_names_the_clock_in_place_of_the_system_clock(self):
        for call in ("std::chrono::steady_clock::now()", "std::chrono::system_clock::now()", "time(nullptr)"):
            self.fires("daemon/place/a.cpp", f"auto t = {call};\n", "Clock::now()")
        self.silent("daemon/clock/real_clock.cpp", "auto t = std::chrono::steady_clock::now();\n")

    def test_names_the_clock_in_place_of_a_sleep(self):
        for call in ("std::this_thread::sleep_for(one)", "usleep(5)", "nanosleep(&a, &b)"):
            self.fires("drivers/a.cpp", f"void f() {{ {call}; }}\n", "clock.sleep_until")
        self.silent("drivers/a.cpp", "Task<> f(Clock& clock) { co_await clock.sleep_for(one); }\n")

    def test_names_from_chars_in_place_of_locale_functions(self):
        for call in ("std::stoi(s)", "std::stod(s)", "atof(p)", "strtod(p, &end)", "sscanf(p, q)"):
            self.fires("protocol/a.cpp", f"auto x = {call};\n", "std::from_chars")
        self.silent("protocol/a.cpp", "auto x = history(s);\n")

    def test_refuses_printf_of_floating_numbers(self):
        self.fires("drivers/a.cpp", 'void f() { std::snprintf(b, n, "%.3f", x); }\n', "std::to_chars")
        self.silent("drivers/a.cpp", 'void f() { std::snprintf(b, n, "%d", x); }\n')

    def test_refuses_detached_work(self):
        self.fires("daemon/web/a.cpp", "void f() { co_spawn(ex, g(), detached); }\n", "a Job")
        self.fires("daemon/web/a.cpp", "void f() { thread.detach(); }\n", "a Job")

    def test_refuses_random_numbers_without_a_seed(self):
        self.fires("tools/benchsim/a.cpp", "std::random_device source;\n", "seeded by the world")

    def test_looks_past_comments_and_strings(self):
        self.silent("daemon/place/a.cpp", '// steady_clock::now()\nauto s = "usleep(5)";\n/* atof(p) */\n')

    def test_finds_a_capturing_lambda_inside_co_await(self):
        self.fires("daemon/place/a.cpp", "Task<> f() { co_await run([&x](int y) { return x; }); }\n", "name")
        self.silent("daemon/place/a.cpp", "Task<> f() { co_await run([](int y) { return y; }); }\n")
        self.silent("daemon/place/a.cpp", "Task<> f() { co_await places[index](now); }\n")

    def test_finds_a_coroutine_lambda_with_captures(self):
        self.fires("daemon/place/a.cpp", "auto f = [&]() -> Task<void> { co_return; };\n", "as parameters")
        self.fires("daemon/place/a.cpp", "auto f = [this] -> Task<void> { co_return; };\n", "as parameters")
        self.silent("daemon/place/a.cpp", "auto f = [](int a) -> Task<void> { co_return; };\n")

    def test_finds_an_include_against_the_direction(self):
        for own, target in (
            ("protocol/a.h", "drivers/link.h"),
            ("drivers/a.h", "daemon/place/run.h"),
            ("daemon/battery/a.h", "daemon/grading/grade.h"),
            ("daemon/store/a.h", "daemon/place/run.h"),
            ("daemon/place/a.h", "daemon/web/routes.h"),
            ("daemon/main.cpp", "tools/client/table.h"),
            ("tools/benchsim/a.cpp", "daemon/battery/ocv.h"),
        ):
            self.fires(own, f'#include "{target}"\n', f"may not include {target}")
        for own, target in (
            ("daemon/clock/a.h", "protocol/result.h"),
            ("drivers/a.h", "daemon/clock/clock.h"),
            ("daemon/grading/a.h", "daemon/battery/ticket.h"),
            ("daemon/place/a.h", "drivers/link.h"),
            ("tools/client/a.cpp", "daemon/queue/service.h"),
            ("tests/place/a.cpp", "tools/benchsim/b.h"),
        ):
            self.silent(own, f'#include "{target}"\n')

    def test_finds_an_include_by_a_relative_path(self):
        self.fires("drivers/a.cpp", '#include "../protocol/result.h"\n', "from the root")

    def test_keeps_outside_headers_in_their_home(self):
        for own, header in (
            ("drivers/profile.cpp", "toml++/toml.h"),
            ("daemon/queue/a.cpp", "sqlite3.h"),
            ("daemon/settings/settings.cpp", "CLI/CLI.hpp"),
            ("daemon/place/a.cpp", "boost/beast/http.hpp"),
            ("daemon/web/a.cpp", "spdlog/spdlog.h"),
            ("drivers/a.cpp", "boost/asio.hpp"),
            ("daemon/a.cpp", "gtest/gtest.h"),
        ):
            self.fires(own, f"#include <{header}>\n", "is not for this file")
        for own, header in (
            ("protocol/toml_reader.cpp", "toml++/toml.h"),
            ("daemon/store/a.cpp", "sqlite3.h"),
            ("tools/client/main.cpp", "CLI/CLI.hpp"),
            ("daemon/web/a.cpp", "boost/beast/http.hpp"),
            ("daemon/settings/log.cpp", "spdlog/async.h"),
            ("daemon/store/a.cpp", "boost/json.hpp"),
            ("tests/store/a.cpp", "sqlite3.h"),
        ):
            self.silent(own, f"#include <{header}>\n")

    def test_keeps_outside_headers_out_of_headers_that_another_folder_includes(self):
        for header in ("boost/json.hpp", "boost/asio/post.hpp", "fmt/format.h"):
            named = {"daemon/store/a.h": SPDX + f"#include <{header}>\n"}
            user = '#include "daemon/store/a.h"\n'
            self.assertEqual([], tidy(named | {"daemon/store/b.cpp": SPDX + user}))
            found = tidy(named | {"daemon/queue/b.cpp": SPDX + user})
            self.assertEqual(1, len(found), found)
            self.assertIn(f"daemon/store/a.h:2: <{header}> is not for this file", found[0])

    def test_counts_the_files_that_include_a_dear_header(self):
        found = tidy({f"tools/client/{name}.cpp": SPDX + "#include <CLI/CLI.hpp>\n" for name in ("a", "b")})
        self.assertEqual(1, len(found), found)
        self.assertIn("tools/client/b.cpp:2", found[0])

    def test_wants_a_quantity_in_public_headers_of_the_daemon(self):
        def of(header: str, user: str):
            return tidy({header: SPDX + "double voltage();\n", user: SPDX + f'#include "{header}"\n'})

        self.assertIn("daemon/place/a.h:2: a bare number", of("daemon/place/a.h", "daemon/queue/b.cpp")[0])
        self.assertEqual([], of("daemon/place/a.h", "daemon/place/b.cpp"))
        self.assertEqual([], of("daemon/grading/policy.h", "daemon/queue/b.cpp"))

    def test_wants_the_licence_line(self):
        self.assertIn("SPDX", tidy({"drivers/a.cpp": "int a;\n"})[0])
        self.assertIn("SPDX", tidy({"tools/run": "#!/bin/sh\ntrue\n"})[0])

    def test_bounds_files_functions_and_lines(self):
        self.fires("drivers/a.cpp", lines_of(300), "300 allowed", 301)
        self.silent("drivers/a.cpp", lines_of(299))
        self.silent("tests/drivers/a.cpp", lines_of(499))
        self.fires("tests/drivers/a.cpp", lines_of(500), "500 allowed", 501)
        self.fires("drivers/a.cpp", function_of(61), "a function of 61 lines")
        self.silent("drivers/a.cpp", function_of(60))
        self.fires("drivers/a.cpp", "// " + "x" * 108 + "\n", "111 columns")
        self.silent("drivers/a.cpp", "// " + "x" * 107 + "\n")

    def test_finds_forgotten_notes_and_stray_white_space(self):
        self.fires("drivers/a.cpp", f"// {NOTE}: later\n", "do it now")
        self.fires("drivers/a.cpp", "int a; \n", "white space")
        self.fires("drivers/a.cpp", "\tint a;\n", "a tab")
        self.fires("drivers/a.cpp", "int a;", "no newline")

    def test_finds_flags_that_change_results(self):
        licence = SPDX.replace("//", "#")
        found = tidy({"drivers/CMakeLists.txt": licence + "add_compile_options(-march=native)\n"})
        self.assertEqual(1, len(found), found)
        self.assertIn("-march=native", found[0])

    def test_finds_two_types_of_one_name(self):
        one = {"drivers/a.h": SPDX + "struct Sheet {\n  int a = 1;\n};\n"}
        found = tidy(one | {"protocol/b.h": SPDX + "class Sheet final : Base {\n};\n"})
        self.assertEqual(1, len(found), found)
        self.assertIn("protocol/b.h:2: Sheet is defined in drivers/a.h too", found[0])
        for other in ("struct Sheet;\n", "struct Sheet::Node {\n};\n", "struct Sheets {\n};\n"):
            self.assertEqual([], tidy(one | {"protocol/b.h": SPDX + other}))

    def test_refuses_a_new_folder_at_the_top(self):
        self.assertIn("top level", tidy({"docs/notes.md": "words\n"})[0])

    def test_finds_a_defect_that_no_longer_fits_its_source(self):
        source = {"drivers/a.cpp": SPDX + "int a = 1;\n"}
        patch = ("The sign.\n--- a/drivers/a.cpp\n+++ b/drivers/a.cpp\n"
                 "@@ -2 +2 @@\n-int a = {};\n+int a = 2;\n")
        self.assertEqual([], tidy(source | {"tests/mutations/sign.patch": patch.format(1)}))
        found = tidy(source | {"tests/mutations/sign.patch": patch.format(3)})
        self.assertEqual(1, len(found), found)
        self.assertIn("tests/mutations/sign.patch:1: the patch does not apply", found[0])

    def test_leaves_outside_data_alone(self):
        self.assertEqual([], tidy({"tests/reference/a/readme.txt": f"{NOTE} \t\n"}))


if __name__ == "__main__":
    unittest.main()
