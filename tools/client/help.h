// SPDX-License-Identifier: Apache-2.0
// What `leadwright --help` ends with.
#pragma once

namespace leadwright {

constexpr const char* examples = R"(Examples:
  leadwright ticket add --serial EX-1 --chemistry agm --cells 6 --rc '110 min' --rc-standard sae
  leadwright ticket add --serial EX-2 --part EX-70-AGM --receipt 88213
  leadwright bench show --search graded
  leadwright ticket move T-000001-3 bay-1
  leadwright place acknowledge bay-1
  leadwright place start bay-1 && leadwright run watch bay-1
  leadwright run trace R-000001 --csv trace.csv
  leadwright instrument trace bay-1.load on && leadwright instrument trace bay-1.load watch
  leadwright stop all
  leadwright fitting check --part EX-70-AGM --ocv '12.66 V' --stood '30 h'
  leadwright --actor ana ticket override T-000001-3 --letter C --why 'its posts are worn'
  leadwright person list
  leadwright export out --format jsonl
  source <(leadwright completion bash)
  leadwright procedure explain 'reserve capacity'
  leadwright certificate write T-000001-3 && leadwright certificate key > bench.key
  leadwright rehearse trace tests/reference/porous-electrode/B/B_01.csv --json
  leadwright rehearse returns --policy store_claim --count 200 --seed 1
  leadwright profile check config/profiles/generic_scpi_load.toml
  leadwright instrument probe tcp:192.0.2.7:5025 --profile my_load.toml
Exit codes: 0 done; 1 no (a run that tripped); 64 usage; 65 wrong data; 66 no such thing; 69 no daemon;
  70 our bug; 73 can't make a file; 74 input or output; 75 not now; 77 refused for safety or not allowed;
  78 configuration.)";

}  // namespace leadwright
