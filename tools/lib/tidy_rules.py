# SPDX-License-Identifier: Apache-2.0
"""The rules of tools/tidy as tables: what is banned, where its home is, and what to write instead."""

import re

LINES_MAX = {"product": 300, "tests": 500}
FUNCTION_LINES_MAX = {"product": 60, "tests": 100}
COLUMNS_MAX = 110

TOP_LEVEL = {"CMakeLists.txt", "CMakePresets.json", "README.md", "DEVELOPERS.md", "LICENSE",
             "daemon", "drivers", "protocol", "tests", "config", "tools"}

# Calls in C++, comments and strings blanked: pattern, home as a path pattern, what to write instead.
BANNED_CALLS = [
    (r"\b(system|steady|high_resolution)_clock::now\b",
     r"^(daemon/clock/real_clock\.cpp|tools/benchmarks/|tools/simtest_world/main\.cpp$)",
     "Clock::now() or Clock::utc(): code on a virtual clock must not see the machine's time"),
    (r"\b(clock_gettime|gettimeofday|localtime(_r)?|strftime)\s*\(|\btime\s*\(\s*(nullptr|NULL|0)\s*\)",
     r"^(daemon/clock/real_clock\.cpp|tools/benchmarks/)", "Clock::now() or Clock::utc()"),
    (r"\bthis_thread\b|\b(usleep|nanosleep|sleep)\s*\(", None,
     "co_await clock.sleep_until(t)"),
    (r"\b(sto(i|l|ll|ul|ull|f|d|ld)|ato(i|l|ll|f)|strto(l|ll|ul|ull|f|d|ld)|v?f?s?scanf)\s*\(", None,
     "std::from_chars: the others follow the locale, and accept what is no number"),
    (r"\bsetlocale\s*\(|\bstd::locale\b|\bimbue\s*\(", None, "nothing: every program runs in the C locale"),
    (r"\bdetached\b|\.detach\s*\(\s*\)", None, "a Job, whose errors reach Loop::on_bug"),
    (r"\bs?rand\s*\(|\brandom_device\b", r"^(daemon/main\.cpp|daemon/web/|daemon/store/)",
     "a generator seeded by the world, so that the same seed gives the same log"),
    (r"\b(gets|strcpy|strcat|sprintf|vsprintf|alloca)\s*\(", None,
     "std::string, or std::to_chars into a span"),
]

# Calls told apart by their format string, so looked for in the line as written.
FLOAT_PRINTF = re.compile(r"printf\s*\(.*%[-+ #0-9.*]*l?[aefgAEFG]")

# Outside headers: pattern, files that may include them, the header of ours to use instead. A header that no
# other folder includes counts as a .cpp file of its folder.
OUTSIDE_HEADERS = [
    (r"toml(\+\+/|\.hpp)", r"^protocol/toml_reader\.cpp$", "protocol/toml_reader.h"),
    (r"sqlite3\.h", r"^daemon/store/[^/]+\.cpp$", "daemon/store/store.h"),
    (r"zstd\.h", r"^daemon/store/[^/]+\.cpp$", "daemon/store/store.h"),
    (r"sodium(\.h|/)", r"^daemon/(store/[^/]+|battery/content_hash|certificate/signing)\.cpp$",
     "daemon/battery/content_hash.h or daemon/certificate/signing.h"),
    (r"(cairo|pango)", r"^daemon/certificate/[^/]+\.cpp$", "daemon/certificate/document.h"),
    (r"zint\.h", r"^daemon/certificate/barcode\.cpp$", "daemon/certificate/barcode.h"),
    (r"CLI/", r"^(daemon/options|tools/(client|benchsim)/\w+)\.cpp$", "options as a struct"),
    (r"boost/beast", r"^(daemon/web/[^/]+|tools/client/http_client)\.cpp$",
     "daemon/web/web_server.h or tools/client/http_client.h"),
    (r"spdlog/", r"^daemon/settings/log\.cpp$", "daemon/settings/log.h"),
    (r"boost/json", r"\.cpp$", "a function of ours that takes and returns std::string"),
    (r"boost/asio\.hpp", r"(?!)", "the header of the part that is used: the whole costs seconds a file"),
    (r"boost/asio", r"\.cpp$|^daemon/clock/real_clock\.h$", "daemon/clock/clock.h, drivers/link.h"),
    (r"fmt/", r"\.cpp$", "std::string in headers"),
    (r"(gtest|gmock)/", r"^tests/", "nothing: product code knows no test"),
    (r"benchmark/", r"^tools/benchmarks/", "nothing: only tools/benchmarks measures"),
    (r"tl/expected\.hpp", r"^protocol/result\.h$", "protocol/result.h"),
]

# CLI11 and Beast are the dearest headers: how many files of a folder may include them.
INCLUDERS_MAX = [(r"CLI/", 1), (r"boost/beast", 2)]

# Which folders a folder may include, itself apart. Everybody may include protocol.
_LEAVES = {"daemon/quantities", "daemon/clock"}
_FACTS = _LEAVES | {"daemon/battery"}
_RULES = _FACTS | {"daemon/procedure", "daemon/grading"}
_SETTINGS = {"daemon/settings"}
MAY_INCLUDE = {
    "protocol": set(),
    "daemon/quantities": set(),
    "daemon/clock": {"daemon/quantities"},
    "drivers": _LEAVES,
    "daemon/settings": _LEAVES | {"drivers"},
    "daemon/battery": _LEAVES,
    "daemon/procedure": _FACTS,
    "daemon/grading": _FACTS | {"daemon/procedure"},
    "daemon/store": _RULES,
    "daemon/switchgear": _LEAVES | _SETTINGS | {"drivers"},
    "daemon/place": _RULES | _SETTINGS | {"drivers", "daemon/store", "daemon/switchgear"},
    "daemon/queue": _RULES | _SETTINGS | {"drivers", "daemon/store", "daemon/switchgear", "daemon/place"},
    "daemon/certificate": _RULES | _SETTINGS | {"daemon/store", "daemon/place", "daemon/queue"},
    "daemon/web": _RULES | _SETTINGS | {"daemon/store", "daemon/queue"},
    "daemon": _RULES | _SETTINGS | {"drivers", "daemon/store", "daemon/place", "daemon/queue",
                                    "daemon/certificate", "daemon/web"},
    # The simulator and the estimator must be able to disagree: no battery model is shared.
    "tools/benchsim": _LEAVES | {"drivers", "tools/client/http_client.h", "daemon/settings/exit_codes.h"},
    "tools/rehearse": None,
    "tools/simtest_world": None,
    "tools/client": None,
    "tools/benchmarks": None,
    "tools/forecast_trial": None,
    "tools/minutes_trial": None,
    "tools/returns": None,
    "tests": None,
}
ANYWHERE = {"protocol"}

# Public headers of daemon/ (included by another folder) that may say `double`, and why each does.
BARE_DOUBLE = {
    "daemon/quantities/quantity.h": "defines the quantities",
    "daemon/clock/clock.h": "scale is a ratio of two times",
    "daemon/clock/real_clock.h": "scale is a ratio of two times",
    "daemon/clock/instant.h": "nanoseconds to seconds, inside an operator",
    "daemon/procedure/expression_words.h": "the dimension comes beside the value",
    "daemon/procedure/proof.h": "ends of an interval, whose dimension is the expression's",
    "daemon/procedure/procedure.h": "the dimension of a parameter is known only when its file is read",
    "daemon/procedure/values.h": "the dimension of an amount is known only when its file is read",
    "daemon/procedure/expression.h": "the dimension of an amount is known only when its file is read",
    "daemon/grading/statistics.h": "shares, probabilities and their logarithms",
    "daemon/grading/policy.h": "shares and factors are ratios",
    "daemon/grading/triage_rule.h": "odds are ratios",
    "daemon/battery/fitting.h": "shares of a full charge",
    "daemon/battery/journal.h": "values of own names and parameters, whose dimension is the procedure's",
    "daemon/battery/findings.h": "relative accuracies and coefficients",
    "daemon/battery/half_cca.h": "how many times a current is drawn is a ratio",
    "daemon/battery/peukert.h": "an exponent is a pure number",
    "daemon/grading/evidence.h": "in the unit of its finding",
    "daemon/grading/shown_finding.h": "in the unit of its finding",
    "daemon/battery/gas.h": "m3/h, litres and grams, which its names say",
    "daemon/battery/design_curve.h": "shares of a time and relative spreads",
    "daemon/battery/forecast.h": "probabilities and shares",
    "daemon/battery/forecast_settings.h": "probabilities, shares and spreads of logarithms",
    "daemon/battery/forecast_interval.h": "probabilities, shares and ratios",
    "daemon/battery/curve_fit.h": "rates, shares and logarithms",
    "daemon/grading/early.h": "shares and factors are ratios",
    "daemon/battery/said.h": "an amount of a sentence, in the unit beside it",
    "daemon/battery/acid_reading.h": "a specific gravity is a ratio",
    "daemon/battery/ocv.h": "state of charge is a ratio",
    "daemon/battery/shelf.h": "state of charge is a ratio",
    "daemon/battery/retention.h": "millivolts a day, which its names say, as its finding has them",
    "daemon/battery/uncertainty.h": "contributions in the unit of their finding",
    "daemon/quantities/nearest_rank.h": "a share is a ratio",
    "daemon/place/run.h": "value of an expression, whose dimension its step knows",
    "daemon/settings/precautions.h": "ventilation is stated in m3/h, and so is its rule",
    "daemon/store/memory_store.h": "shares of a fault plan are ratios",
    "daemon/store/json.h": "writes any number, whose key names the unit",
    "daemon/settings/settings.h": "scale is a ratio of two times",
    "daemon/battery/ticket.h": "a finding carries its unit beside its value",
}
