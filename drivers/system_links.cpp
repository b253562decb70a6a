// SPDX-License-Identifier: Apache-2.0
#include "drivers/system_links.h"

#include "drivers/serial_link.h"
#include "drivers/tcp_link.h"
#include "drivers/usbtmc_link.h"

namespace leadwright {

Result<std::unique_ptr<Link>> SystemLinkFactory::make(const LinkAddress& address,
                                                      const SerialSettings& serial) {
  switch (address.kind) {
    case LinkAddress::Kind::serial:
      return std::make_unique<SerialLink>(loop_, machine_, address, serial);
    case LinkAddress::Kind::usbtmc:
      return std::make_unique<UsbtmcLink>(machine_, address, helpers_);
    case LinkAddress::Kind::tcp:
      return std::make_unique<TcpLink>(loop_, machine_, address);
    case LinkAddress::Kind::memory:
      break;
  }
  return fail(Errc::unsupported, "memory links exist in tests and rehearsals only", address.text(),
              "use a serial, usbtmc or tcp link");
}

}  // namespace leadwright
