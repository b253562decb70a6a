// SPDX-License-Identifier: Apache-2.0
#include "daemon/web/routes.h"

#include <array>
#include <charconv>

#include "protocol/utf8.h"

namespace leadwright {
namespace {

constexpr std::array table{
    Route{"GET", "/", "page", RouteKind::asset},
    Route{"GET", "/page.js", "page", RouteKind::asset},
    Route{"GET", "/amounts.js", "page", RouteKind::asset},
    Route{"GET", "/api.js", "page", RouteKind::asset},
    Route{"GET", "/batch.js", "page", RouteKind::asset},
    Route{"GET", "/batch_rules.js", "page", RouteKind::asset},
    Route{"GET", "/battery_form.js", "page", RouteKind::asset},
    Route{"GET", "/cautions.js", "page", RouteKind::asset},
    Route{"GET", "/chart.js", "page", RouteKind::asset},
    Route{"GET", "/codes_en.js", "page", RouteKind::asset},
    Route{"GET", "/codes_es.js", "page", RouteKind::asset},
    Route{"GET", "/dialog.js", "page", RouteKind::asset},
    Route{"GET", "/dom.js", "page", RouteKind::asset},
    Route{"GET", "/drop_off.js", "page", RouteKind::asset},
    Route{"GET", "/findings.js", "page", RouteKind::asset},
    Route{"GET", "/fitting.js", "page", RouteKind::asset},
    Route{"GET", "/fitting_answer.js", "page", RouteKind::asset},
    Route{"GET", "/fitting_en.js", "page", RouteKind::asset},
    Route{"GET", "/fitting_es.js", "page", RouteKind::asset},
    Route{"GET", "/instruments.js", "page", RouteKind::asset},
    Route{"GET", "/intake_en.js", "page", RouteKind::asset},
    Route{"GET", "/intake_es.js", "page", RouteKind::asset},
    Route{"GET", "/place_dialogs.js", "page", RouteKind::asset},
    Route{"GET", "/places.js", "page", RouteKind::asset},
    Route{"GET", "/queue.js", "page", RouteKind::asset},
    Route{"GET", "/settings.js", "page", RouteKind::asset},
    Route{"GET", "/ticket.js", "page", RouteKind::asset},
    Route{"GET", "/words.js", "page", RouteKind::asset},
    Route{"GET", "/words_en.js", "page", RouteKind::asset},
    Route{"GET", "/words_es.js", "page", RouteKind::asset},
    Route{"GET", "/page.css", "page", RouteKind::asset},
    Route{"GET", "/print.css", "page", RouteKind::asset},
    Route{"GET", "/icon.svg", "page", RouteKind::asset},
    Route{"GET", "/healthz", "health", RouteKind::health},
    Route{"GET", "/metrics", "metrics"},
    Route{"GET", "/api/v1/bench", "bench", RouteKind::snapshot},
    Route{"GET", "/api/v1/events", "events", RouteKind::events},
    Route{"GET", "/api/v1/tickets", "ticket.list", RouteKind::service, "state"},
    Route{"POST", "/api/v1/tickets", "ticket.add"},
    Route{"GET", "/api/v1/tickets/{}", "ticket.show"},
    Route{"GET", "/api/v1/tickets/{}/certificate.pdf", "certificate.pdf", RouteKind::paper},
    Route{"GET", "/api/v1/tickets/{}/certificate.svg", "certificate.svg", RouteKind::paper},
    Route{"POST", "/api/v1/tickets/{}/move", "ticket.move"},
    Route{"POST", "/api/v1/tickets/{}/close", "ticket.close"},
    Route{"POST", "/api/v1/tickets/{}/hold", "ticket.hold"},
    Route{"POST", "/api/v1/tickets/{}/recheck", "ticket.recheck"},
    Route{"GET", "/api/v1/places", "place.list"},
    Route{"POST", "/api/v1/places/{}/start", "place.start"},
    Route{"POST", "/api/v1/places/{}/stop", "place.stop"},
    Route{"POST", "/api/v1/places/{}/acknowledge", "place.acknowledge"},
    Route{"GET", "/api/v1/procedures", "procedure.list"},
    Route{"POST", "/api/v1/procedures/{}/plan", "procedure.plan"},
    Route{"POST", "/api/v1/places/{}/pause", "place.pause"},
    Route{"POST", "/api/v1/places/{}/resume", "place.resume"},
    Route{"POST", "/api/v1/places/{}/out_of_service", "place.out_of_service"},
    Route{"POST", "/api/v1/places/{}/in_service", "place.in_service"},
    Route{"POST", "/api/v1/alarm/test", "alarm.test"},
    Route{"GET", "/api/v1/instruments", "instrument.list"},
    Route{"GET", "/api/v1/instruments/{}", "instrument.show"},
    Route{"GET", "/api/v1/instruments/{}/trace", "instrument.trace", RouteKind::service, "after"},
    Route{"POST", "/api/v1/instruments/{}/trace", "instrument.trace.set"},
    Route{"GET", "/api/v1/parts/{}", "part.show"},
    Route{"POST", "/api/v1/fitting", "fitting.check"},
    Route{"POST", "/api/v1/stop", "stop.all"},
    Route{"GET", "/api/v1/runs/{}/trace", "run.trace", RouteKind::history, "every"},
};

bool matches(std::string_view pattern, std::string_view path, std::string& subject) {
  const auto hole = pattern.find("{}");
  if (hole == std::string_view::npos) return pattern == path;
  const auto head = pattern.substr(0, hole);
  const auto tail = pattern.substr(hole + 2);
  if (path.size() <= head.size() + tail.size()) return false;
  if (path.substr(0, head.size()) != head) return false;
  if (path.substr(path.size() - tail.size()) != tail) return false;
  const auto segment = path.substr(head.size(), path.size() - head.size() - tail.size());
  if (segment.find('/') != std::string_view::npos) return false;
  return percent_decode(segment, subject);
}

}  // namespace

std::span<const Route> routes() {
  return table;
}

RouteMatch match_route(RouteKey key) {
  RouteMatch match;
  for (const auto& route : table) {
    std::string subject;
    if (!matches(route.pattern, key.path, subject)) continue;
    match.allow += match.allow.empty() ? "" : ", ";
    match.allow += route.method;
    if (route.method != key.method) continue;
    match.route = &route;
    match.subject = std::move(subject);
  }
  return match;
}

bool percent_decode(std::string_view text, std::string& out) {
  out.clear();
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] != '%') {
      out += text[i];
      continue;
    }
    if (i + 2 >= text.size()) return false;
    unsigned value = 0;
    const char* const first = text.data() + i + 1;
    const auto [end, error] = std::from_chars(first, first + 2, value, 16);
    if (error != std::errc() || end != first + 2) return false;
    out += static_cast<char>(value);
    i += 2;
  }
  return is_clean_text(out);
}

}  // namespace leadwright
