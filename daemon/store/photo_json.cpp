// SPDX-License-Identifier: Apache-2.0
#include "daemon/store/photo_json.h"

#include <fmt/format.h>
#include <sodium.h>

#include <boost/json.hpp>
#include <optional>

#include "daemon/store/json_object.h"
#include "protocol/jpeg.h"

namespace leadwright {

namespace {

constexpr std::size_t base64_length_max = (Photo::bytes_max + 2) / 3 * 4;

std::optional<std::string> bytes_of(const std::string& base64) {
  std::string bytes(base64.size() / 4 * 3 + 3, '\0');
  std::size_t size = 0;
  const char* end = nullptr;
  const int failed =
      sodium_base642bin(reinterpret_cast<unsigned char*>(bytes.data()), bytes.size(), base64.data(),
                        base64.size(), nullptr, &size, &end, sodium_base64_VARIANT_ORIGINAL);
  if (failed != 0 || end != base64.data() + base64.size()) return std::nullopt;
  bytes.resize(size);
  return bytes;
}

std::string read_jpeg(JsonObject& root) {
  const std::string base64 = root.need_text("jpeg", base64_length_max, "send the photo as base64");
  if (base64.empty()) return {};
  const auto bytes = bytes_of(base64);
  if (!bytes) {
    root.error("jpeg", "this is not base64", "encode the file by RFC 4648, section 4, with its padding");
    return {};
  }
  Result<std::string> bare = bare_jpeg(*bytes);
  if (!bare) {
    root.error("jpeg", bare.error().what, bare.error().mend);
    return {};
  }
  if (bare->size() > Photo::bytes_max) {
    root.error("jpeg", fmt::format("the photo has {} bytes", bare->size()),
               fmt::format("make it smaller: at most {} bytes", Photo::bytes_max));
  }
  return std::move(*bare);
}

}  // namespace

Result<HandedPhoto> parse_photo(std::string_view json) {
  boost::json::error_code failed;
  const boost::json::value parsed =
      boost::json::parse(boost::json::string_view(json.data(), json.size()), failed);
  if (failed || !parsed.is_object())
    return fail(Errc::bad_input, "this is no JSON object", "body", "start with {\"jpeg\": \"...\"}");
  std::vector<Error> errors;
  JsonObject root(parsed.get_object(), "", errors);
  HandedPhoto photo;
  photo.about = root.text("about", Photo::about_length_max);
  photo.jpeg = read_jpeg(root);
  root.finish();
  if (errors.empty()) return photo;
  return fail(Errc::bad_input, joined_lines(errors), "photo");
}

std::string photo_json(const HandedPhoto& photo) {
  std::string base64(sodium_base64_ENCODED_LEN(photo.jpeg.size(), sodium_base64_VARIANT_ORIGINAL), '\0');
  sodium_bin2base64(base64.data(), base64.size(), reinterpret_cast<const unsigned char*>(photo.jpeg.data()),
                    photo.jpeg.size(), sodium_base64_VARIANT_ORIGINAL);
  base64.resize(base64.find('\0'));
  return boost::json::serialize(boost::json::object{{"about", photo.about}, {"jpeg", base64}});
}

}  // namespace leadwright
