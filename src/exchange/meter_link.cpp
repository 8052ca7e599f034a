#include "exchange/meter_link.h"

#include <fcntl.h>
#include <netdb.h>
#include <poll.h>
#include <sys/socket.h>
#include <termios.h>
#include <unistd.h>

#include <cctype>
#include <cerrno>
#include <charconv>
#include <cmath>
#include <cstring>

namespace boardlore {
namespace {

using Clock = std::chrono::steady_clock;
constexpr std::size_t longest_answer = 4096;

class Line {
 public:
  Line(int fd, std::string name, Clock::time_point until) : fd_(fd), name_(std::move(name)), until_(until) {}
  Line(const Line&) = delete;
  Line& operator=(const Line&) = delete;
  ~Line() { if (fd_ >= 0) ::close(fd_); }

  Problem silent(const std::string& asked) const { return {name_, asked, "an answer", "none in time", Outcome::system_failed}; }

  bool wait_for(short what) const {
    for (;;) {
      const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(until_ - Clock::now()).count();
      if (left <= 0) return false;
      pollfd one{fd_, what, 0};
      const int ready = ::poll(&one, 1, static_cast<int>(left));
      if (ready > 0) return true;
      if (ready == 0 || errno != EINTR) return false;
    }
  }

  Result<Done> send(const std::string& words) {
    const std::string line = words + "\n";
    for (std::size_t sent = 0; sent < line.size();) {
      if (!wait_for(POLLOUT)) return silent(words);
      const ssize_t n = ::write(fd_, line.data() + sent, line.size() - sent);
      if (n < 0 && (errno == EINTR || errno == EAGAIN)) continue;
      if (n <= 0) return Problem{name_, words, "a line that takes it", std::strerror(errno), Outcome::system_failed};
      sent += static_cast<std::size_t>(n);
    }
    return Done{};
  }

  // One line, without its end.
  Result<std::string> ask(const std::string& words) {
    if (const Result<Done> sent = send(words); !sent) return sent.problem();
    for (;;) {
      if (const std::size_t end = waiting_.find('\n'); end != std::string::npos) {
        std::string line = waiting_.substr(0, end);
        waiting_.erase(0, end + 1);
        while (!line.empty() && std::isspace(static_cast<unsigned char>(line.back()))) line.pop_back();
        return line;
      }
      if (waiting_.size() > longest_answer) return Problem{name_, words, "a line of at most 4096 bytes", "a longer one"};
      if (!wait_for(POLLIN)) return silent(words);
      char block[512];
      const ssize_t n = ::read(fd_, block, sizeof block);
      if (n < 0 && (errno == EINTR || errno == EAGAIN)) continue;
      if (n <= 0) return Problem{name_, words, "an answer", "the meter closed the line", Outcome::system_failed};
      waiting_.append(block, static_cast<std::size_t>(n));
    }
  }

 private:
  int fd_;
  std::string name_, waiting_;
  Clock::time_point until_;
};

int connected_within(const addrinfo& at, Clock::time_point until) {
  const int fd = ::socket(at.ai_family, at.ai_socktype | SOCK_NONBLOCK | SOCK_CLOEXEC, at.ai_protocol);
  if (fd < 0) return -1;
  if (::connect(fd, at.ai_addr, at.ai_addrlen) == 0) return fd;
  if (errno == EINPROGRESS) {
    const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(until - Clock::now()).count();
    pollfd one{fd, POLLOUT, 0};
    int error = ETIMEDOUT;
    socklen_t size = sizeof error;
    if (left > 0 && ::poll(&one, 1, static_cast<int>(left)) > 0 && ::getsockopt(fd, SOL_SOCKET, SO_ERROR, &error, &size) == 0 && error == 0) return fd;
    errno = error;
  }
  const int why = errno;
  ::close(fd);
  errno = why;
  return -1;
}

Result<int> open_tcp(const MeterAddress& address, Clock::time_point until, const std::string& name) {
  addrinfo wanted{};
  wanted.ai_socktype = SOCK_STREAM;
  addrinfo* found = nullptr;
  if (const int error = ::getaddrinfo(address.host_or_device.c_str(), std::to_string(address.port).c_str(), &wanted, &found); error != 0)
    return Problem{name, "", "a host that can be found", ::gai_strerror(error), Outcome::system_failed};
  int fd = -1;
  for (const addrinfo* at = found; at && fd < 0; at = at->ai_next) fd = connected_within(*at, until);
  const int why = errno;
  ::freeaddrinfo(found);
  if (fd < 0) return Problem{name, "", "a meter that takes the connection", std::strerror(why), Outcome::system_failed};
  return fd;
}

Result<int> open_serial(const MeterAddress& address) {
  const std::string& device = address.host_or_device;
  const int fd = ::open(device.c_str(), O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
  if (fd < 0) return Problem{device, "", "a serial line that can be opened", std::strerror(errno), Outcome::system_failed};
  termios mode{};
  if (::tcgetattr(fd, &mode) != 0) {
    ::close(fd);
    return Problem{device, "", "a serial line", "something else", Outcome::bad_input};
  }
  // 8 data bits, no parity, one stop bit, nothing translated.
  ::cfmakeraw(&mode);
  mode.c_cflag |= CLOCAL | CREAD;
  mode.c_cflag &= ~static_cast<tcflag_t>(CSTOPB | CRTSCTS);
  const speed_t speed = address.baud == 1200 ? B1200 : address.baud == 2400 ? B2400 : address.baud == 4800 ? B4800 : address.baud == 19200 ? B19200
                        : address.baud == 38400 ? B38400 : address.baud == 57600 ? B57600 : address.baud == 115200 ? B115200 : B9600;
  ::cfsetispeed(&mode, speed);
  ::cfsetospeed(&mode, speed);
  ::tcsetattr(fd, TCSANOW, &mode);
  ::tcflush(fd, TCIOFLUSH);
  return fd;
}

std::optional<int> whole_number(const std::string& text, int least, int most) {
  int value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || value < least || value > most) return std::nullopt;
  return value;
}

}  // namespace

Result<MeterAddress> parse_meter_address(const std::string& text) {
  const auto wrong = [&](const std::string& expected) { return Problem{"", "meter", expected, text.empty() ? "nothing" : text}; };
  MeterAddress address;
  if (text.starts_with("tcp:")) {
    const std::size_t colon = text.rfind(':');
    std::string host = colon > 4 ? text.substr(4, colon - 4) : "";
    if (host.size() > 2 && host.front() == '[' && host.back() == ']') host = host.substr(1, host.size() - 2);
    const auto port = whole_number(text.substr(colon + 1), 1, 65535);
    if (host.empty() || !port) return wrong("tcp:HOST:PORT with a port from 1 to 65535");
    address.host_or_device = host, address.port = *port;
    return address;
  }
  if (text.starts_with("serial:")) {
    std::string device = text.substr(7);
    if (const std::size_t at = device.rfind('@'); at != std::string::npos) {
      const auto baud = whole_number(device.substr(at + 1), 1200, 115200);
      bool known = false;
      for (const int rate : {1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200}) known = known || baud == rate;
      if (!known) return wrong("serial:DEV@BAUD with 1200, 2400, 4800, 9600, 19200, 38400, 57600 or 115200");
      address.baud = *baud;
      device.resize(at);
    }
    if (device.empty()) return wrong("serial:DEV, as serial:/dev/ttyUSB0");
    address.serial = true, address.host_or_device = device;
    return address;
  }
  return wrong("tcp:HOST:PORT or serial:DEV");
}

Result<MeterValue> understand_meter(const std::string& function, const std::string& value) {
  MeterValue read;
  for (const char c : function)
    if (c != '"' && c != '\'') read.function += static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  const std::string& f = read.function;
  const auto begins = [&](const char* word) { return f.starts_with(word); };
  // Function names of SCPI-1999, vol. 2, 15 (SENSe:FUNCtion); CONT and DIOD are common, no source.
  if (begins("RES") || begins("FRES") || begins("CONT")) read.quantity = Quantity::resistance;
  else if (begins("DIOD")) read.quantity = Quantity::diode;
  else if (begins("VOLT")) read.quantity = Quantity::voltage;
  else if (begins("CURR")) read.quantity = Quantity::current;
  else if (begins("CAP")) read.quantity = Quantity::capacitance;
  else if (begins("IND")) read.quantity = Quantity::inductance;
  else if (begins("FREQ")) read.quantity = Quantity::frequency;
  else if (begins("TEMP")) read.quantity = Quantity::temperature;
  // The first of several, as meters that add a time or a channel give them.
  std::string number = value.substr(0, value.find(','));
  const std::size_t from = number.find_first_not_of(" +");
  number = from == std::string::npos ? "" : number.substr(from);
  double parsed = 0;
  const auto [end, error] = std::from_chars(number.data(), number.data() + number.size(), parsed);
  if (error != std::errc() || end == number.data() || !std::isfinite(parsed)) return Problem{"", "READ?", "a number", value.empty() ? "nothing" : value.substr(0, 60)};
  if (std::fabs(parsed) >= 9.905e37) return Problem{"", "READ?", "a measured value", "9.91E37: the meter has none"};
  if (std::fabs(parsed) >= 9.8e37) {
    read.below = parsed < 0;
    read.entry = "OL";
    return read;
  }
  read.value = parsed;
  read.entry = read.quantity ? print_engineering(parsed, *read.quantity, 6) + (read.quantity == Quantity::diode ? " diode" : "") : number;
  return read;
}

Result<MeterValue> read_meter(const MeterAddress& address, std::chrono::milliseconds patience) {
  const Clock::time_point until = Clock::now() + patience;
  const std::string name = address.serial ? "serial:" + address.host_or_device : "tcp:" + address.host_or_device + ":" + std::to_string(address.port);
  const Result<int> fd = address.serial ? open_serial(address) : open_tcp(address, until, name);
  if (!fd) return fd.problem();
  Line line(*fd, name, until);
  const Result<std::string> identity = line.ask("*IDN?");
  if (!identity) return identity.problem();
  const Result<std::string> function = line.ask("FUNC?");
  if (!function) return function.problem();
  const Result<std::string> value = line.ask("READ?");
  if (!value) return value.problem();
  Result<MeterValue> read = understand_meter(*function, *value);
  if (!read) {
    Problem problem = read.problem();
    problem.file = name;
    return problem;
  }
  for (const char c : *identity)
    if (static_cast<unsigned char>(c) >= 0x20) read->meter += c;
  return read;
}

}  // namespace boardlore
