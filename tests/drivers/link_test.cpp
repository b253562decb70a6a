// SPDX-License-Identifier: Apache-2.0
#include "drivers/link.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace leadwright {
namespace {

using testing::HasSubstr;

TEST(LinkAddress, reads_the_four_kinds) {
  for (const char* text : {"serial:/dev/serial/by-id/usb-x-0", "serial:/tmp/sim/bay-1.load",
                           "usbtmc:/dev/instrument/abcd-0123-load", "tcp:192.0.2.7:5025", "tcp:[::1]:5025",
                           "memory:bay-1.load"}) {
    const auto address = LinkAddress::parse(text);
    ASSERT_TRUE(address) << text;
    EXPECT_EQ(address->text(), text);
  }
}

TEST(LinkAddress, refuses_names_that_change_on_replug_and_says_what_to_use) {
  for (const char* text : {"serial:/dev/ttyUSB0", "serial:/dev/ttyACM3"}) {
    const auto address = LinkAddress::parse(text);
    ASSERT_FALSE(address) << text;
    EXPECT_EQ(address.error().code, Errc::bad_input);
    EXPECT_THAT(address.error().mend, HasSubstr("/dev/serial/by-id/"));
  }
}

TEST(LinkAddress, refuses_a_usbtmc_name_that_changes_on_replug) {
  const auto address = LinkAddress::parse("usbtmc:/dev/usbtmc0");
  ASSERT_FALSE(address);
  EXPECT_EQ(address.error().code, Errc::bad_input);
  EXPECT_THAT(address.error().mend, HasSubstr("/dev/instrument/"));
}

TEST(LinkAddress, refuses_what_is_no_address) {
  for (const char* text : {"", "serial", "serial:", "serial:ttyS0", "tcp:host", "tcp::5025",
                           "tcp:host:", "tcp:h:50x", "usb:1", "usbtmc:0", "/dev/ttyS0"}) {
    const auto address = LinkAddress::parse(text);
    ASSERT_FALSE(address) << text;
    EXPECT_EQ(address.error().code, Errc::bad_input) << text;
  }
}

}  // namespace
}  // namespace leadwright
