// SPDX-License-Identifier: Apache-2.0
#include "protocol/jpeg.h"

#include <optional>

namespace leadwright {
namespace {

// Markers of ITU-T T.81, table B.1, without their 0xFF.
constexpr unsigned char start_of_image = 0xD8;
constexpr unsigned char end_of_image = 0xD9;
constexpr unsigned char start_of_scan = 0xDA;
constexpr unsigned char app_0 = 0xE0;
constexpr unsigned char app_14 = 0xEE;
constexpr unsigned char app_15 = 0xEF;
constexpr unsigned char comment = 0xFE;

bool is_restart(unsigned char marker) {
  return marker >= 0xD0 && marker <= 0xD7;
}

/// Stands alone, or is none: nothing of the kind comes between segments.
bool has_no_segment(unsigned char marker) {
  return marker <= 0x01 || marker == start_of_image || is_restart(marker);
}

/// SOF0 to SOF15; between them lie the tables DHT, JPG and DAC.
bool is_frame(unsigned char marker) {
  return marker >= 0xC0 && marker <= 0xCF && marker != 0xC4 && marker != 0xC8 && marker != 0xCC;
}

bool is_beside_the_picture(unsigned char marker) {
  return marker == comment || (marker > app_0 && marker <= app_15 && marker != app_14);
}

tl::unexpected<Error> no_jpeg(const char* why) {
  return fail(Errc::bad_input, std::string("this is no JPEG photo: ") + why, "jpeg",
              "take the photo again, or save it as JPEG");
}

class JpegReader {
 public:
  explicit JpegReader(std::string_view file) : file_(file) {}

  /// The next marker; none where the file ends before it. Fill bytes of 0xFF may stand before one.
  std::optional<unsigned char> marker() {
    if (at_ >= file_.size() || byte(at_) != 0xFF) return std::nullopt;
    while (at_ < file_.size() && byte(at_) == 0xFF) ++at_;
    if (at_ >= file_.size()) return std::nullopt;
    return byte(at_++);
  }

  /// Length and payload of a segment.
  std::optional<std::string_view> segment() {
    if (file_.size() - at_ < 2) return std::nullopt;
    const std::size_t length = byte(at_) * 256U + byte(at_ + 1);
    if (length < 2 || file_.size() - at_ < length) return std::nullopt;
    const std::string_view whole = file_.substr(at_, length);
    at_ += length;
    return whole;
  }

  /// The coded data behind a scan's header: up to a marker that is no restart.
  std::string_view coded() {
    const std::size_t first = at_;
    while (at_ + 1 < file_.size()) {
      const bool is_marker = byte(at_) == 0xFF && byte(at_ + 1) != 0x00 && !is_restart(byte(at_ + 1));
      if (is_marker) break;
      ++at_;
    }
    return file_.substr(first, at_ - first);
  }

 private:
  unsigned char byte(std::size_t at) const { return static_cast<unsigned char>(file_[at]); }
  std::string_view file_;
  std::size_t at_ = 0;
};

void put(std::string& to, unsigned char marker) {
  to += '\xFF';
  to += static_cast<char>(marker);
}

}  // namespace

Result<std::string> bare_jpeg(std::string_view file) {
  JpegReader reader(file);
  if (reader.marker() != start_of_image) return no_jpeg("it does not begin like one");
  std::string bare;
  bare.reserve(file.size());
  put(bare, start_of_image);
  bool has_frame = false;
  bool has_scan = false;
  for (;;) {
    const auto marker = reader.marker();
    if (!marker) return no_jpeg("it is cut off");
    if (*marker == end_of_image) break;
    if (has_no_segment(*marker)) return no_jpeg("it is damaged");
    const auto segment = reader.segment();
    if (!segment) return no_jpeg("it is cut off");
    has_frame = has_frame || is_frame(*marker);
    if (is_beside_the_picture(*marker)) continue;
    put(bare, *marker);
    bare += *segment;
    if (*marker != start_of_scan) continue;
    if (!has_frame) return no_jpeg("its size is missing");
    bare += reader.coded();
    has_scan = true;
  }
  if (!has_scan) return no_jpeg("it holds no picture");
  put(bare, end_of_image);
  return bare;
}

}  // namespace leadwright
