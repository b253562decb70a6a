// SPDX-License-Identifier: Apache-2.0
// leadwright place list, start, stop, pause, resume, acknowledge and so on, alarm test and stop all. Each
// blocks and gives the exit code.
#pragma once

#include "daemon/settings/exit_codes.h"
#include "tools/client/options.h"

namespace leadwright {

ExitCode place_list(const ClientOptions& client);
ExitCode place_start(const ClientOptions& client, const PlaceOptions& options);
ExitCode place_stop(const ClientOptions& client, const PlaceOptions& options);
/// Without `of`, answers what the place asks now; prints the question first.
ExitCode place_acknowledge(const ClientOptions& client, const PlaceOptions& options);
/// These four need `why`.
ExitCode place_pause(const ClientOptions& client, const PlaceOptions& options);
ExitCode place_resume(const ClientOptions& client, const PlaceOptions& options);
ExitCode place_out_of_service(const ClientOptions& client, const PlaceOptions& options);
ExitCode place_in_service(const ClientOptions& client, const PlaceOptions& options);
ExitCode alarm_test(const ClientOptions& client);
ExitCode stop_all(const ClientOptions& client, const PlaceOptions& options);

}  // namespace leadwright
