// SPDX-License-Identifier: Apache-2.0
// The daemon's JSON as text for people. Each gives the body itself if it can't be read. Pure; any thread.
#pragma once

#include <string>

namespace leadwright {

std::string show_tickets(const std::string& body);         ///< of ticket.list
std::string show_ticket(const std::string& body);          ///< of ticket.show
std::string show_added_ticket(const std::string& body);    ///< of ticket.add
std::string show_changed_ticket(const std::string& body);  ///< of ticket.move, close, hold, recheck
std::string show_places(const std::string& body);          ///< of place.list
std::string show_start(const std::string& body);           ///< of place.start
std::string show_done(const std::string& body);            ///< of what has nothing to show: one line

}  // namespace leadwright
