// SPDX-License-Identifier: Apache-2.0
#include "drivers/deliveries.h"

#include <algorithm>
#include <utility>

namespace leadwright {

void Deliveries::send(std::string_view bytes, Second after) {
  const Instant due = machine_.now() + after;
  if (cable_.is_quiet()) return send_as_is(bytes, due);
  pieces_.clear();
  cable_.pass(bytes, false, pieces_);
  for (Cable::Piece& piece : pieces_) {
    if (piece.again_every > Second(0.0)) {
      enqueue({due + piece.after, std::move(piece.bytes), piece.again_every});
    } else {
      send_as_is(piece.bytes, due + piece.after);
    }
  }
}

void Deliveries::send_as_is(std::string_view bytes, Instant due) {
  if (under_way_.empty() && due <= machine_.now()) return arrive_(bytes);
  enqueue({due, std::string(bytes), Second(0.0)});
}

void Deliveries::stop() {
  under_way_.clear();
  timer_.cancel();
}

void Deliveries::enqueue(Delivery delivery) {
  if (!under_way_.empty()) delivery.due = std::max(delivery.due, under_way_.back().due);
  under_way_.push_back(std::move(delivery));
  if (under_way_.size() == 1) arm();
}

void Deliveries::arm() {
  timer_.set(under_way_.front().due, [this] { deliver_due(); });
}

void Deliveries::deliver_due() {
  const Instant now = machine_.now();
  while (!under_way_.empty() && under_way_.front().due <= now) {
    Delivery delivery = std::move(under_way_.front());
    under_way_.pop_front();
    const bool again = delivery.again_every > Second(0.0);
    if (again && !cable_.is_babbling()) continue;
    arrive_(delivery.bytes);
    if (again) enqueue({now + delivery.again_every, std::move(delivery.bytes), delivery.again_every});
  }
  if (!under_way_.empty()) arm();
}

}  // namespace leadwright
