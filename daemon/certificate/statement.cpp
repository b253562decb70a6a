// SPDX-License-Identifier: Apache-2.0
#include "daemon/certificate/statement.h"

#include <string_view>

#include "daemon/battery/uncertainty.h"

namespace leadwright {
namespace {

class Lines {
 public:
  void add(std::string_view name, std::string_view value) {
    if (value.empty()) return;
    text_.append(name).append(": ");
    for (const char c : value) {
      const auto byte = static_cast<unsigned char>(c);
      text_ += byte < 0x20U || byte == 0x7fU ? ' ' : c;
    }
    text_ += '\n';
  }
  void add(std::string_view name, const std::vector<std::string>& values) {
    for (const std::string& value : values) add(name, value);
  }
  void add(std::string_view name, const std::vector<CertificateFact>& facts) {
    for (const CertificateFact& fact : facts) add(name, fact.name + ", " + fact.value);
  }
  std::string take() { return std::move(text_); }

 private:
  std::string text_ = "Leadwright certificate statement, version 1\n";
};

std::string finding_line(const CertifiedFinding& finding) {
  std::string text = finding.name;
  text.append(", ").append(finding.value).append(" (").append(word(finding.kind)).append(")");
  if (!finding.conditions.empty()) text.append(", ").append(finding.conditions);
  if (!finding.run.empty()) text.append(", ").append(finding.run);
  return text;
}

std::string points_line(const std::vector<PlotPoint>& points) {
  std::string text;
  for (const PlotPoint& point : points) {
    text.append(text.empty() ? "" : ", ").append(fixed(point.at.si(), 1)).append(" ");
    text.append(fixed(point.volts.si(), 3));
  }
  return text;
}

void add_plot(Lines& lines, const CertifiedPlot& plot) {
  lines.add("plot", plot.title);
  if (plot.cutoff) lines.add("plot cut-off", fixed(plot.cutoff->si(), 2) + " V");
  lines.add("plot end", plot.end);
  lines.add("plot points", points_line(plot.points));
}

}  // namespace

std::string statement(const Certificate& certificate) {
  Lines lines;
  lines.add("ticket", certificate.ticket);
  lines.add("simulated", certificate.simulated ? "yes, no real battery was measured" : "no");
  lines.add("grade", std::string(1, certificate.letter) + ", " + certificate.meaning);
  if (const auto& own = certificate.own_letter) {
    lines.add("grade set by", "two persons, " + own->set_at.rfc3339());
    lines.add("their reason", own->why);
    lines.add("bench's own grade", std::string(1, own->letter) + ", " + own->meaning);
  }
  lines.add("reason", certificate.reason);
  lines.add("reserve capacity", certificate.minutes);
  lines.add("what to do", certificate.disposition);
  lines.add("warranty", certificate.warranty);
  lines.add("second life", certificate.second_life);
  lines.add("look at this first", certificate.flags);
  lines.add("graded", certificate.graded_at.rfc3339());
  lines.add("policy", certificate.policy);
  lines.add("policy hash", certificate.policy_hash);
  lines.add("software", certificate.software);
  lines.add("label", certificate.nameplate);
  lines.add("visit", certificate.visit);
  lines.add("fault", certificate.faults);
  for (const CertifiedFinding& finding : certificate.findings) lines.add("finding", finding_line(finding));
  lines.add("rule", certificate.rules);
  lines.add("not measured", certificate.not_measured);
  lines.add("from memory, without a source", certificate.remembered);
  lines.add("by a person's word", certificate.overrides);
  lines.add("run", certificate.work);
  for (const CertifiedInstrument& instrument : certificate.instruments)
    lines.add("instrument", instrument.name + ", " + instrument.identity + ", " + instrument.calibration);
  if (certificate.plot) add_plot(lines, *certificate.plot);
  lines.add("caution", certificate.cautions);
  return lines.take();
}

}  // namespace leadwright
