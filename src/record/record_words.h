// How single things of a job read in a record: a reading, a process, a photo's time.
#pragma once

#include <string>

#include "domain/job.h"

namespace boardlore {

// "2026-03-04 10:20 UTC"
std::string spoken_time(Timestamp time);
// As the camera wrote it where its offset is known ("2026-03-04 11:20 +01:00"), else in UTC; "not known".
std::string spoken_capture_time(const Photo& photo);
std::string spoken_reading(const Reading& reading);     // "> 20 MΩ", "10.5 kΩ, rising", "overload"
std::string spoken_conditions(const Reading& reading);  // "power off, red on TP3, black on GND, bench meter"
std::string spoken_process(const Process& process);     // "iron 350 °C, nozzle 6 mm, flux ..."; empty: nothing said
std::string spoken_place(const std::string& refdes, const std::string& pin);  // "U3.7"
std::string spoken_outcome(const std::string& outcome);
std::string spoken_stage(std::optional<PhotoStage> stage);
std::string spoken_duration(std::int64_t ms);           // "4 min 10 s"

}  // namespace boardlore
