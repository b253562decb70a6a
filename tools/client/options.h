// SPDX-License-Identifier: Apache-2.0
// What the command line asked for, as values: main.cpp fills them, the nouns carry them out.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace leadwright {

/// Options of every command.
struct ClientOptions {
  std::string url;    ///< empty: LEADWRIGHT_URL, the daemon's url file, http://127.0.0.1:8417, in this order
  std::string state;  ///< the daemon's state folder, for its url file; empty: where the daemon would keep it
  std::string actor;  ///< empty: login name
  bool json = false;
};

/// What a battery's label says. The amounts are as typed, "640 A", "110 min", "60 Ah"; a bare number has the
/// unit of its option.
struct LabelOptions {
  std::string chemistry;
  std::optional<int> cells;
  std::string cca;
  std::string cca_standard;
  std::string reserve_capacity;
  std::string reserve_capacity_standard;
  std::string c20;
  std::string c20_standard;
  std::string size_code;
  std::string manufactured_on;
  std::string date_code;
};

/// A look with a hydrometer.
struct AcidOptions {
  std::string gravity;              ///< "1.265,-,1.260", from the positive post on; empty: nobody looked
  std::optional<double> acid_degc;  ///< temperature of the acid
};

/// What the vehicle asks for, or how the battery's posts lie.
struct PostOptions {
  std::string plus_at;
  std::string post;
};

/// A look at a battery: what is not said stays as it was.
struct InspectionOptions : PostOptions, AcidOptions {
  std::vector<std::string> signs;  ///< keys of the inspection that are true: "cracked"
  std::optional<double> weight_kg;
  std::string remarks;
  std::string vehicle_size_code;
  PostOptions vehicle;
};

struct TicketInspectOptions : InspectionOptions {
  std::string ticket;
  std::vector<std::string> gone;  ///< signs that were mended
};

struct TicketAddOptions : LabelOptions, InspectionOptions {
  std::string file;  ///< JSON as POST /api/v1/tickets takes it, "-" for standard input; else the rest
  std::string part;  ///< of the bench's list of parts: fills what the label's options leave out
  std::string serial;
  std::string complaint;
  std::string sold_on;
  std::string monitor_report;
  std::optional<double> monitor_percent;  ///< of charge
  std::optional<double> monitor_days;
  std::optional<double> monitor_degc;
  std::string monitor_reset_on;
  std::string receipt;
  std::string promised_at;
  std::vector<std::string> procedures;
};

/// Many cores at once.
struct TicketBatchOptions : LabelOptions {
  std::string file;   ///< CSV with serial, volts, seen; "-" for standard input
  std::string part;   ///< of all of them
  std::string least;  ///< "10.5 V"; empty: 1.75 V a cell
  bool only_look = false;
};

struct FittingOptions : LabelOptions, PostOptions {
  std::string file;  ///< JSON as POST /api/v1/fitting takes it, "-" for standard input; else the rest
  std::string ticket;
  std::string part;
  struct Vehicle : LabelOptions, PostOptions {
  } vehicle;
  std::string ocv;             ///< "12.42 V"
  std::string temperature;     ///< "10 degC"
  std::string stood;           ///< "30 h"
  std::string charger;         ///< "10 A"
  std::string monitor_age;     ///< "900 d"
  std::string monitor_charge;  ///< "82 %"
  std::string running;         ///< "14.2 V"
  std::string drain;           ///< "25 mA"
};

struct PartOptions {
  std::string part;
};

struct BenchShowOptions {
  std::string search;  ///< only tickets whose row has this text; empty for all
};

struct TicketListOptions {
  std::string state;  ///< empty for all
};

/// One ticket and what is to happen to it; `target` is the place or how it closes.
struct TicketOptions {
  std::string ticket;
  std::string target;
  std::string why;
};

/// Another letter than the bench's own.
struct OverrideOptions {
  std::string ticket;
  std::string letter;
  std::string why;
};

struct PhotoOptions {
  std::string ticket;
  std::string photo;
  std::string file;
  std::string about;
  std::string why;
};

struct PlaceOptions {
  std::string place;
  std::string procedure;          ///< for start; empty: what comes next
  std::vector<std::string> with;  ///< for start: parameters, "name=25 A"
  std::string consented_by;       ///< for start: the person who agreed to what needs consent
  std::string of;                 ///< for acknowledge; empty: what is asked there
  std::string answer;
  std::optional<int> cells;
  std::string why;
};

struct RunTraceOptions {
  std::string run;
  std::string csv;  ///< file, "-" for standard output; empty for a table of a part of the samples
};

struct DesignLearnOptions {
  std::vector<std::string> tickets;
  int version = 1;
  std::string out;  ///< file; empty for standard output
};

struct ProfileCheckOptions {
  std::vector<std::string> files;
};

struct ProcedureOptions {
  std::vector<std::string> files;  ///< files, or for explain names as well
  std::string folder;              ///< where names are looked for
};

/// A procedure for a ticket's battery, or for one described by the rest; amounts as for a ticket.
struct ProcedurePlanOptions {
  std::string procedure;
  std::string place;
  std::string ticket;
  std::string chemistry = "flooded";
  int cells = 6;
  std::string cca;
  std::string reserve_capacity;
  std::string c20;
  std::vector<std::string> with;  ///< "name=25 A"
};

/// How a serial line is set; what is absent is as the profile says, or 9600 8N1 without one.
struct LineOptions {
  std::vector<int> bauds;  ///< tried in this order
  std::string parity;      ///< "none", "even", "odd"; empty: absent
  std::optional<int> stop;
};

struct ProbeOptions {
  std::string link;
  std::string profile;  ///< file; empty: only who answers
  LineOptions line;
  int samples = 100;
  bool settings = false;
  std::optional<int> unit;  ///< Modbus address
};

struct TalkOptions {
  std::string link;
  std::string profile;  ///< file; empty: none
  LineOptions line;
  int patience_ms = 2000;
};

struct WatchOptions {
  std::string place;  ///< empty: every place
};

}  // namespace leadwright
