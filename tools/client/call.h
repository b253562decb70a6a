// SPDX-License-Identifier: Apache-2.0
// One exchange with the daemon for a command: finds it, asks it, shows the answer or the problem, and gives
// the exit code. Blocks; one thread.
#pragma once

#include <string>

#include "daemon/settings/exit_codes.h"
#include "protocol/result.h"
#include "tools/client/http_client.h"
#include "tools/client/options.h"

namespace leadwright {

/// Where the daemon answers, by the order that ClientOptions states.
std::string bench_url(const ClientOptions& options);

/// The header with the token of LEADWRIGHT_TOKEN, or of the file that LEADWRIGHT_TOKEN_FILE names; none
/// without either. A file that can't be read gives none, and the bench says that it asks for one.
HttpHeaders token_headers();

struct ClientCall {
  std::string method = "GET";
  std::string path;
  std::string body;
  std::string key =
      {};  ///< Idempotency-Key of a creation; asked again with it, the answer is the first one's
};

/// The answer's body, of a list with all its pages, or the problem as an error. The code follows the status:
/// 400, 413, 415, 422 bad_input; 403 refused; 404 not_found; 409 conflict; 429, 503 busy; 401 refused; 412
/// conflict; else bug.
Result<std::string> ask(const ClientOptions& options, const ClientCall& what);

/// Makes text for people of a body.
using Show = std::string (*)(const std::string& body);

/// Asks, prints and gives the exit code. With --json the body goes out as it came, and a problem
/// as a JSON object.
ExitCode run_ask(const ClientOptions& options, const ClientCall& what, Show show);

/// Prints "what: where: how to mend" to standard error, or a problem as JSON to standard output with --json.
ExitCode report(const ClientOptions& options, const Error& error);

/// The bytes of a file, or of standard input for "-". Fails with not_found and `mend`.
Result<std::string> read_input(const std::string& file, const char* mend);

/// Text into a file, or to standard output for "-". `option` is where another file is named.
ExitCode write_text(const ClientOptions& options, const std::string& text, const std::string& file,
                    const char* option);

/// "a b/c" to "a%20b%2Fc".
std::string path_segment(const std::string& text);

}  // namespace leadwright
