// SPDX-License-Identifier: Apache-2.0
#include "daemon/options.h"

#include <CLI/CLI.hpp>

#include "daemon/assembly.h"

namespace leadwright {

std::optional<DaemonOptions> read_options(int argc, const char* const* argv, ExitCode& code) {
  DaemonOptions options;
  CLI::App app{"Leadwright's daemon: runs the tests of a bench for returned starter batteries.",
               "leadwrightd"};
  app.add_option("--config", options.config, "configuration file, in place of /etc/leadwright");
  app.add_option("--state", options.state,
                 "folder of the database (default: see leadwright.toml's comments)");
  app.add_flag("--check-config", options.check_config,
               "read and check every file, touch no device, and say what is wrong");
  app.set_version_flag("--version", std::string("leadwrightd ") + software_version);
  app.footer(
      "Signals: SIGUSR1 stops everything on the bench and goes on; SIGTERM, SIGINT and SIGHUP stop "
      "everything "
      "and end.\nsystemd: Type=notify and WatchdogSec= are understood.\n"
      "Exit codes: 0 ok, 64 usage, 69 bench unavailable, 70 our bug, 73 can't write, 74 I/O, 75 try again, "
      "78 configuration.\n"
      "Signals: SIGUSR1 stops all, as the page does, and the daemon goes on; SIGTERM, SIGINT and SIGHUP "
      "switch "
      "everything off and end it.\nExample: leadwrightd --config build/demo/leadwright.toml --state "
      "build/demo/state");
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    code = app.exit(error) == 0 ? ExitCode::ok : ExitCode::usage;
    return std::nullopt;
  }
  return options;
}

}  // namespace leadwright
