// SPDX-License-Identifier: Apache-2.0
#include "tools/benchsim/contacts.h"

#include <algorithm>

namespace leadwright {

namespace {

constexpr Second joined_step{10.0};
constexpr Ampere exchange_max{5000.0};  // beyond any battery of a few milliohms
constexpr int halvings = 50;
constexpr Ampere probe{10.0};
constexpr Ohm resistance_min{0.001};

/// What flows out of a battery that is held at `volts`.
Ampere discharge_at(const SimBattery& battery, Volt volts) {
  Ampere low = -exchange_max;
  Ampere high = exchange_max;
  for (int i = 0; i < halvings; ++i) {
    const Ampere middle = (low + high) / 2.0;
    (battery.terminal(middle) > volts ? low : high) = middle;
  }
  return (low + high) / 2.0;
}

struct Member {
  const SimBattery* battery;
  Ampere own;  // what the instruments of its place take
};

template <class Ways>
std::vector<Member> members_of(const Ways& ways) {
  std::vector<Member> members;
  members.reserve(ways.size());
  for (const auto* way : ways) {
    members.push_back({way->posts->within_reach(), way->posts->load_amps() - way->posts->charger_amps()});
  }
  return members;
}

/// Volts that joined batteries come to: what flows out of some flows into the others.
Volt common_volts(const std::vector<Member>& members) {
  Volt low = members.front().battery->terminal(members.front().own);
  Volt high = low;
  for (const Member& member : members) {
    const Volt alone = member.battery->terminal(member.own);
    low = std::min(low, alone);
    high = std::max(high, alone);
  }
  for (int i = 0; i < halvings; ++i) {
    const Volt middle = (low + high) / 2.0;
    Ampere surplus;
    for (const Member& member : members) surplus += discharge_at(*member.battery, middle) - member.own;
    (surplus > Ampere(0.0) ? low : high) = middle;
  }
  return (low + high) / 2.0;
}

/// The most that flows at the moment of contact: what charging takes more than its resistance comes later.
Ampere inrush(const std::vector<Member>& members) {
  struct Branch {
    Volt volts;
    Ohm resistance;
  };
  std::vector<Branch> branches;
  branches.reserve(members.size());
  double weight = 0.0;
  double weighted = 0.0;
  for (const Member& member : members) {
    const Volt volts = member.battery->terminal(member.own);
    const Volt drop = volts - member.battery->terminal(member.own + probe);
    const Ohm resistance = std::max(drop / probe, resistance_min);
    branches.push_back({volts, resistance});
    weight += 1.0 / resistance.si();
    weighted += volts.si() / resistance.si();
  }
  const Volt node(weighted / weight);
  Ampere most;
  for (const Branch& branch : branches) most = std::max(most, (branch.volts - node) / branch.resistance);
  return most;
}

}  // namespace

void Contacts::surround(Terminals& posts) {
  posts.set_surroundings(this);
}

void Contacts::add_box(RelayPart& relays) {
  boxes_.push_back(&relays);
  relays.on_switched = [this] { update(); };
}

void Contacts::add_isolator(SimContact contact, Terminals& posts) {
  surround(posts);
  isolators_.push_back({contact, &posts});
  update();
}

void Contacts::add_selector(SimContact contact, SimInstrument& instrument, Terminals& leads,
                            std::string place, Terminals& posts) {
  surround(leads);
  surround(posts);
  const auto same = [&](const Selector& selector) { return selector.instrument == &instrument; };
  auto found = std::find_if(selectors_.begin(), selectors_.end(), same);
  if (found == selectors_.end()) {
    found = selectors_.insert(found, Selector{&instrument, &leads, {}, {}, 0});
  }
  found->joined.clear();
  found->ways.push_back({contact, std::move(place), &posts});
  update();
}

bool Contacts::uses(const RelayPart& relays, int output) const {
  const auto is_it = [&](const auto& wired) {
    return wired.contact.relays == &relays && wired.contact.output == output;
  };
  return std::any_of(isolators_.begin(), isolators_.end(), is_it) ||
         std::any_of(selectors_.begin(), selectors_.end(), [&](const Selector& selector) {
           return std::any_of(selector.ways.begin(), selector.ways.end(), is_it);
         });
}

void Contacts::live_to(Instant now) {
  while (true) {
    RelayPart* first = nullptr;
    for (RelayPart* box : boxes_) {
      if (box->off_at() && *box->off_at() <= now && (!first || *box->off_at() < *first->off_at()))
        first = box;
    }
    if (!first) break;
    step_joined(*first->off_at());
    first->expire();
  }
  step_joined(now);
}

void Contacts::step_joined(Instant now) {
  const auto is_joined = [](const Selector& selector) { return !selector.joined.empty(); };
  while (present_ < now && std::any_of(selectors_.begin(), selectors_.end(), is_joined)) {
    present_ = std::min(now, present_ + joined_step);
    for (Selector& selector : selectors_) {
      for (const Way* way : selector.joined) way->posts->live_to(present_);
      exchange(selector);
    }
  }
  present_ = std::max(present_, now);
}

void Contacts::update() {
  isolate();
  for (Selector& selector : selectors_) {
    select(selector);
    join(selector);
  }
}

void Contacts::isolate() {
  for (const Isolator& isolator : isolators_) {
    const auto is_open_here = [&](const Isolator& other) {
      return other.posts == isolator.posts && !other.contact.is_closed();
    };
    const bool is_open = std::any_of(isolators_.begin(), isolators_.end(), is_open_here);
    if (isolator.posts->is_isolated() == is_open) continue;
    isolator.posts->live_to(present_);
    isolator.posts->isolate(is_open);
  }
}

void Contacts::select(Selector& selector) {
  Terminals* to = selector.leads;
  for (const Way& way : selector.ways) {
    if (!way.contact.is_closed()) continue;
    const bool is_better = to == selector.leads || (!to->within_reach() && way.posts->within_reach());
    if (is_better) to = way.posts;
  }
  Terminals& from = selector.instrument->posts();
  const bool stays = &from != selector.leads && from.within_reach() &&
                     std::any_of(selector.ways.begin(), selector.ways.end(), [&](const Way& way) {
                       return way.posts == &from && way.contact.is_closed();
                     });
  if (stays || to == &from) return;
  from.live_to(present_);
  to->live_to(present_);
  selector.instrument->connect(*to);
}

void Contacts::join(Selector& selector) {
  std::vector<const Way*> now;
  for (const Way& way : selector.ways) {
    if (way.contact.is_closed() && way.posts->within_reach()) now.push_back(&way);
  }
  if (now.size() < 2) now.clear();
  if (now == selector.joined) return;
  for (const Way* way : selector.joined) {
    way->posts->live_to(present_);
    way->posts->exchange(Ampere(0.0));
  }
  selector.joined = std::move(now);
  if (selector.joined.empty()) return;
  selector.record = joined_.size();
  JoinedPlaces& record = joined_.emplace_back(JoinedPlaces{present_, {}, Ampere(0.0)});
  for (const Way* way : selector.joined) {
    way->posts->live_to(present_);
    record.places.push_back(way->place);
  }
  record.exchange = inrush(members_of(selector.joined));
  exchange(selector);
}

void Contacts::exchange(Selector& selector) {
  if (selector.joined.empty()) return;
  const std::vector<Member> members = members_of(selector.joined);
  const Volt volts = common_volts(members);
  Ampere& most = joined_.at(selector.record).exchange;
  for (std::size_t i = 0; i < members.size(); ++i) {
    const Ampere flows = discharge_at(*members[i].battery, volts) - members[i].own;
    most = std::max(most, flows);
    selector.joined[i]->posts->exchange(flows);
  }
}

}  // namespace leadwright
