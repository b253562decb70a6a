// SPDX-License-Identifier: Apache-2.0
// What is wired to the bench, and how all of it goes off.
#include <fmt/format.h>

#include <algorithm>

#include "daemon/queue/bench.h"
#include "daemon/settings/log.h"

namespace leadwright {

void Bench::add_box(const BoxSettings& settings, std::unique_ptr<Instrument> instrument) {
  auto box = std::make_unique<Box>(std::move(instrument), settings, BenchKind{clocks_, settings_.simulated});
  box->on_alarm = [this](const std::string& why) { stop_all(in_own_words(why), "leadwrightd"); };
  box->siren_wanted = [this] {
    return std::ranges::any_of(places_, [](const auto& place) { return !place->trip().empty(); }) ||
           std::ranges::any_of(boxes_, [](const auto& each) { return each->is_calling(); });
  };
  boxes_.push_back(std::move(box));
}

void Bench::add_shared(std::unique_ptr<Instrument> instrument) {
  shared_.push_back(
      std::make_unique<SharedInstrument>(std::move(instrument), BenchKind{clocks_, settings_.simulated}));
}

Contact Bench::contact(const ContactSettings& settings) const {
  const auto box =
      std::ranges::find_if(boxes_, [&](const auto& each) { return each->name() == settings.box; });
  return {box->get(), settings.output, settings.mirror};
}

void Bench::add_place(PlaceSettings settings, PlaceWiring wiring) {
  const auto lease = [&](const std::optional<WaySettings>& way) -> SharedInstrument* {
    if (!way) return nullptr;
    const auto found =
        std::ranges::find_if(shared_, [&](const auto& each) { return each->name() == way->shared; });
    (*found)->add_way(settings.name, contact(way->contact));
    return found->get();
  };
  wiring.shared_load = lease(settings.shared_load);
  wiring.shared_charger = lease(settings.shared_charger);
  if (settings.isolator) wiring.isolator = contact(*settings.isolator);
  auto instruments = std::make_unique<PlaceInstruments>(clocks_, std::move(wiring));
  places_.push_back(std::make_unique<Place>(std::move(settings), std::move(instruments), clocks_, store_,
                                            *this, settings_.simulated));
}

std::vector<Bench::WatchedAt> Bench::watches() {
  std::vector<WatchedAt> all;
  for (const auto& each : places_) {
    for (const auto& watch : each->instruments().watches()) all.push_back({each->name(), watch.get()});
  }
  for (const auto& each : shared_) all.push_back({each->holder(), &each->watch()});
  for (const auto& each : boxes_) all.push_back({"", &each->watch()});
  return all;
}

Bench::WatchedAt Bench::watched(std::string_view name) {
  for (WatchedAt& each : watches()) {
    if (each.watch->instrument().name() == name) return each;
  }
  return {};
}

std::optional<std::string> Bench::alarm() const {
  for (const auto& each : boxes_) {
    if (auto why = each->alarm()) return why;
  }
  return std::nullopt;
}

void Bench::off_now() noexcept {
  for (const auto& each : places_) each->instruments().off_now();
}

void Bench::stop_all(const Sentence& reason, const std::string& actor) {
  off_now();
  Batch batch;
  for (const auto& each : places_) {
    give_up_interrupted(*each, reason, batch);
    if (each->activity() != Activity::running) continue;
    each->stop_all(reason);
    each->latch(reason);
    batch.emplace_back(PlaceRecord{each->name(), false, reason.text(), reason.phrases()});
  }
  batch.emplace_back(audit(actor, "stop.all", settings_.name, reason.text()));
  log_event(Level::warning, "stop.all", {{"actor", actor}, {"reason", reason.text()}});
  commit(std::move(batch), {}, {});
}

}  // namespace leadwright
