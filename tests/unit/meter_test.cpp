// A bench meter's answers: number forms and special values as IEEE 488.2-1992 (8.7) and SCPI-1999 (vol. 1, 7.2.1) have them,
// from memory; against a simulated meter over TCP and a serial line made of a pseudo-terminal.
#include <doctest/doctest.h>

#include <fcntl.h>
#include <stdlib.h>
#include <unistd.h>

#include <nlohmann/json.hpp>
#include <thread>

#include "exchange/meter_link.h"
#include "support/run_program.h"
#include "support/simulated_meter.h"

using namespace boardlore;
using namespace std::chrono_literals;

TEST_CASE("an address is a host and a port, or a serial line") {
  CHECK(parse_meter_address("tcp:meter.shop:5025")->port == 5025);
  CHECK(parse_meter_address("tcp:[::1]:5025")->host_or_device == "::1");
  CHECK(parse_meter_address("serial:/dev/ttyUSB0")->baud == 9600);
  CHECK(parse_meter_address("serial:/dev/ttyUSB0@115200")->baud == 115200);
  for (const char* wrong : {"", "5025", "tcp:", "tcp:host", "tcp:host:0", "tcp:host:65536", "tcp::5025", "serial:", "serial:/dev/ttyS0@9601", "usb:1"})
    CHECK_MESSAGE(!parse_meter_address(wrong), wrong);
}

TEST_CASE("numbers, overloads and no number at all") {
  const auto resistance = understand_meter("\"RES\"", "+1.05200000E+04");
  REQUIRE(bool(resistance));
  CHECK(*resistance->value == doctest::Approx(10520));
  CHECK(resistance->quantity == Quantity::resistance);
  CHECK(resistance->entry == "10.52 kΩ");
  CHECK(understand_meter("\"VOLT:DC\"", "-3.312E-1")->entry == "-331.2 mV");
  CHECK(understand_meter("DIOD", "0.452")->entry == "452 mV diode");
  CHECK(understand_meter("\"CURR:AC\"", "12")->quantity == Quantity::current);
  CHECK(understand_meter("\"VOLT\"", "3.3,0.017,4")->value == doctest::Approx(3.3));
  const auto open = understand_meter("\"FRES\"", "+9.90000000E+37");
  REQUIRE(bool(open));
  CHECK(!open->value);
  CHECK(open->entry == "OL");
  CHECK(understand_meter("\"VOLT\"", "-9.9E37")->below);
  CHECK(!understand_meter("\"RES\"", "9.91E37"));
  for (const std::string wrong : {"", "ERR", "nan", "inf", "-inf"}) CHECK_MESSAGE(!understand_meter("RES", wrong), wrong);
}

TEST_CASE("one value over TCP; a silent meter is given up in time, and nothing is sent that sets it") {
  const SimulatedMeter meter({{"*IDN?", "Invented Instruments,BM-1,0042,1.0"}, {"FUNC?", "\"RES\""}, {"READ?", "+4.70100000E+03"}});
  const auto read = read_meter(*parse_meter_address(meter.address()), 5s);
  REQUIRE_MESSAGE(bool(read), (read ? "" : to_text(read.problem())));
  CHECK(read->meter == "Invented Instruments,BM-1,0042,1.0");
  CHECK(*read->value == doctest::Approx(4701));
  for (const std::string& line : meter.asked()) CHECK_MESSAGE(line.back() == '?', line);

  const SimulatedMeter silent(std::map<std::string, std::string>{{"*IDN?", "Invented Instruments,BM-1,0042,1.0"}});
  const auto before = std::chrono::steady_clock::now();
  const auto none = read_meter(*parse_meter_address(silent.address()), 200ms);
  CHECK(std::chrono::steady_clock::now() - before < 2s);
  REQUIRE(!none);
  CHECK(none.problem().where == "FUNC?");
  CHECK(none.problem().outcome == Outcome::system_failed);
}

TEST_CASE("one value over a serial line") {
  const int master = posix_openpt(O_RDWR | O_NOCTTY);
  REQUIRE(master >= 0);
  REQUIRE(grantpt(master) == 0);
  REQUIRE(unlockpt(master) == 0);
  const std::string device = ptsname(master);
  // Kept open on this side, so that the line does not hang up between the two.
  const int slave = open(device.c_str(), O_RDWR | O_NOCTTY);
  std::atomic<bool> stop = false;
  std::thread meter([&] {
    std::string waiting;
    while (!stop) {
      pollfd one{master, POLLIN, 0};
      if (poll(&one, 1, 20) <= 0) continue;
      char c = 0;
      if (read(master, &c, 1) != 1) continue;
      if (c != '\n') waiting += c;
      else {
        const std::string answer = waiting == "*IDN?" ? "Invented Instruments,BM-2,7,1\r\n" : waiting == "FUNC?" ? "\"CAP\"\r\n" : "1.01E-07\r\n";
        CHECK(write(master, answer.data(), answer.size()) > 0);
        waiting.clear();
      }
    }
  });
  const auto read_value = read_meter(*parse_meter_address("serial:" + device + "@19200"), 5s);
  stop = true;
  meter.join();
  close(slave);
  close(master);
  REQUIRE_MESSAGE(bool(read_value), (read_value ? "" : to_text(read_value.problem())));
  CHECK(read_value->entry == "101 nF");
}

TEST_CASE("boardlore meter prints what the entry line takes, and tells bad usage from a meter that is not there") {
  const SimulatedMeter meter({{"*IDN?", "Invented Instruments,BM-1,0042,1.0"}, {"FUNC?", "\"VOLT:DC\""}, {"READ?", "3.3021"}});
  const RunResult said = run_boardlore("meter " + meter.address());
  CHECK(said.exit_code == 0);
  CHECK(said.output == "3.3021 V\n");
  const auto json = nlohmann::json::parse(run_boardlore("meter --json " + meter.address()).output);
  CHECK(json["quantity"] == "voltage");
  CHECK(json["value"] == doctest::Approx(3.3021));
  CHECK(run_boardlore("meter tcp:nowhere").exit_code == 2);
  CHECK(run_boardlore("meter serial:/dev/no-such-line").exit_code == 3);
  CHECK(run_boardlore("meter --patience 0.2 tcp:127.0.0.1:1").exit_code == 3);
}
