// SPDX-License-Identifier: Apache-2.0
#include "tools/client/instrument/wire_log.h"

#include <fmt/format.h>

#include <algorithm>

namespace leadwright {

namespace {

constexpr std::size_t text_shown_max = 400;
constexpr std::size_t hex_shown_max = 64;

bool is_text(char c) {
  return (c >= ' ' && c <= '~') || c == '\n' || c == '\r' || c == '\t';
}

}  // namespace

void WireLog::listen(Link& link) {
  link.tap = [this](const std::string&, bool outward, std::string_view bytes, Instant at) {
    const WirePiece piece{outward, std::string(bytes), at};
    if (heard) heard(piece);
    if (pieces_.size() < pieces_max) pieces_.push_back(piece);
  };
}

std::string WireLog::inward() const {
  std::string text;
  for (const WirePiece& piece : pieces_) {
    if (!piece.outward) text += piece.bytes;
  }
  return text;
}

std::string shown_bytes(std::string_view bytes) {
  std::string shown;
  if (std::ranges::all_of(bytes, is_text)) {
    for (const char c : bytes.substr(0, text_shown_max)) {
      if (c == '\n') {
        shown += "\\n";
      } else if (c == '\r') {
        shown += "\\r";
      } else if (c == '\t') {
        shown += "\\t";
      } else {
        shown += c;
      }
    }
    if (bytes.size() > text_shown_max) shown += fmt::format(" ... ({} bytes)", bytes.size());
    return shown;
  }
  shown = "hex";
  for (const char c : bytes.substr(0, hex_shown_max)) {
    shown += fmt::format(" {:02X}", static_cast<unsigned char>(c));
  }
  if (bytes.size() > hex_shown_max) shown += fmt::format(" ... ({} bytes)", bytes.size());
  return shown;
}

std::string shown_piece(const WirePiece& piece, Instant zero) {
  return fmt::format("{:9.1f} ms  {}  {}", (piece.at - zero).si() * 1000.0, piece.outward ? '>' : '<',
                     shown_bytes(piece.bytes));
}

std::vector<Second> exchange_times(const std::vector<WirePiece>& pieces) {
  std::vector<Second> times;
  const WirePiece* asked = nullptr;
  const WirePiece* last = nullptr;
  const auto close = [&times, &asked, &last] {
    if (asked != nullptr && last != nullptr) times.push_back(last->at - asked->at);
    last = nullptr;
  };
  for (const WirePiece& piece : pieces) {
    if (piece.outward) {
      close();
      asked = &piece;
    } else {
      last = &piece;
    }
  }
  close();
  return times;
}

}  // namespace leadwright
