// SPDX-License-Identifier: Apache-2.0
#include "drivers/cable.h"

#include <algorithm>
#include <utility>

namespace leadwright {

CableFault CableFault::in_a_row(int n) const {
  CableFault changed = *this;
  changed.times = n;
  return changed;
}

CableFault CableFault::after(int n) const {
  CableFault changed = *this;
  changed.skip = n;
  return changed;
}

CableFault CableFault::of_questions() const {
  CableFault changed = *this;
  changed.strikes_questions = true;
  return changed;
}

const char* word(CableFault::Kind kind) {
  switch (kind) {
    case CableFault::Kind::lost:
      return "lost";
    case CableFault::Kind::late:
      return "late";
    case CableFault::Kind::truncated:
      return "truncated";
    case CableFault::Kind::dropped:
      return "dropped";
    case CableFault::Kind::doubled:
      return "doubled";
    case CableFault::Kind::split:
      return "split";
    case CableFault::Kind::flipped:
      return "flipped";
    case CableFault::Kind::rubbish:
      return "rubbish";
    case CableFault::Kind::endless:
      return "endless";
  }
  return "";
}

void Cable::strike(const CableFault& fault) {
  faults_.push_back(fault);
}

void Cable::mend() {
  faults_.clear();
  is_babbling_ = false;
  release();
  put_back();
}

void Cable::set_taken(bool taken) {
  if (is_taken_ == taken) return;
  is_taken_ = taken;
  for (User* user : users_) user->taken(taken);
}

void Cable::pull(Instant until) {
  out_until_ = until;
  is_babbling_ = false;
  const std::vector<User*> told = users_;
  for (User* user : told) user->pulled();
}

void Cable::put_back() {
  const bool was_out = out_until_ != Instant(INT64_MIN);
  out_until_ = Instant(INT64_MIN);
  if (!was_out) return;
  const std::vector<User*> told = users_;
  for (User* user : told) user->put_back();
}

const CableFault* Cable::due(bool is_question) {
  auto first = faults_.end();
  for (auto fault = faults_.begin(); fault != faults_.end(); ++fault) {
    if (fault->strikes_questions != is_question) continue;
    if (fault->skip > 0) {
      --fault->skip;
    } else if (first == faults_.end()) {
      first = fault;
    }
  }
  if (first == faults_.end()) return nullptr;
  struck_ = *first;
  if (first->times > 0 && --first->times == 0) faults_.erase(first);
  return &struck_;
}

// A linear congruential generator, Knuth's MMIX constants (from memory): any bytes do, but always the same.
std::string Cable::rubbish(int count) {
  std::string bytes;
  for (int i = 0; i < count; ++i) {
    random_ = random_ * 6364136223846793005ULL + 1442695040888963407ULL;
    bytes += static_cast<char>(random_ >> 56U);
  }
  return bytes;
}

void Cable::pass(std::string_view message, bool is_question, std::vector<Piece>& pieces) {
  const CableFault* fault = due(is_question);
  std::string bytes(message);
  const auto count = fault ? static_cast<std::size_t>(std::max(fault->count, 0)) : 0;
  const auto as_one = [&](Second after) { pieces.push_back({std::move(bytes), after, Second(0.0)}); };
  if (!fault) return as_one(Second(0.0));
  switch (fault->kind) {
    case CableFault::Kind::lost:
      return;
    case CableFault::Kind::late:
      return as_one(fault->time);
    case CableFault::Kind::truncated:
      bytes.resize(bytes.size() - std::min(count, bytes.size()));
      return as_one(Second(0.0));
    case CableFault::Kind::dropped:
      if (!bytes.empty()) bytes.erase(count % bytes.size(), 1);
      return as_one(Second(0.0));
    case CableFault::Kind::doubled:
      pieces.push_back({bytes, Second(0.0), Second(0.0)});
      return as_one(Second(0.0));
    case CableFault::Kind::split:
      for (std::size_t i = 0; i < count; ++i) {
        const std::size_t from = bytes.size() * i / count;
        const std::size_t to = bytes.size() * (i + 1) / count;
        if (to == from) continue;
        pieces.push_back({bytes.substr(from, to - from), fault->time * static_cast<double>(i), Second(0.0)});
      }
      return;
    case CableFault::Kind::flipped:
      if (!bytes.empty()) {
        char& victim = bytes[count / 8 % bytes.size()];
        victim = static_cast<char>(static_cast<unsigned char>(victim) ^ (1U << (count % 8)));
      }
      return as_one(Second(0.0));
    case CableFault::Kind::rubbish:
      bytes = rubbish(fault->count);
      return as_one(Second(0.0));
    case CableFault::Kind::endless:
      if (!bytes.empty()) bytes.pop_back();
      is_babbling_ = true;
      as_one(Second(0.0));
      pieces.push_back({std::string(count, '7'), fault->time, fault->time});
      return;
  }
}

}  // namespace leadwright
