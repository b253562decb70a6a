// SPDX-License-Identifier: Apache-2.0
// Who asks. A browser can't send a header with a stream of events, so that it keeps its token in a cookie,
// which no script can read and no other site can use. Pure; any thread.
#pragma once

#include "daemon/web/admit.h"
#include "daemon/web/reply.h"

namespace leadwright {

/// {"holder","rank","tokens"}; of a change with the line that sets the cookie, or takes it back.
Reply sign_in_reply(const Admitted& admitted, const Access& access);

}  // namespace leadwright
