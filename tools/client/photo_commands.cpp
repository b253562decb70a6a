// SPDX-License-Identifier: Apache-2.0
#include "tools/client/photo_commands.h"

#include <boost/json/object.hpp>
#include <boost/json/serialize.hpp>

#include "daemon/store/photo_json.h"
#include "tools/client/call.h"
#include "tools/client/json_view.h"

namespace leadwright {
namespace {

std::string photo_path(const PhotoOptions& options, const char* verb) {
  return "/api/v1/photos/" + path_segment(options.photo) + verb;
}

std::string show_photo(const std::string& body) {
  const auto photo = parse_json(body);
  if (!photo || !photo->is_object()) return body + "\n";
  const std::string bytes = words(member(*photo, "bytes"));
  return "photo " + words(member(*photo, "photo")) + " of " + words(member(*photo, "ticket")) +
         (bytes == "0" ? " is erased\n" : " is kept, " + bytes + " bytes\n");
}

}  // namespace

ExitCode ticket_photo(const ClientOptions& client, const PhotoOptions& options) {
  auto jpeg = read_input(options.file, "give a JPEG file, or - for standard input");
  if (!jpeg) return report(client, jpeg.error());
  const std::string path = "/api/v1/tickets/" + path_segment(options.ticket) + "/photos";
  return run_ask(client, {"POST", path, photo_json({options.about, std::move(*jpeg)})}, show_photo);
}

ExitCode photo_save(const ClientOptions& client, const PhotoOptions& options) {
  const auto jpeg = ask(client, {"GET", photo_path(options, ""), {}});
  if (!jpeg) return report(client, jpeg.error());
  return write_text(client, *jpeg, options.file, "FILE");
}

ExitCode photo_erase(const ClientOptions& client, const PhotoOptions& options) {
  const std::string body = boost::json::serialize(boost::json::object{{"why", options.why}});
  return run_ask(client, {"POST", photo_path(options, "/erase"), body}, show_photo);
}

}  // namespace leadwright
