// A bench meter on a socket of this machine that answers as IEEE 488.2 and SCPI want it: one connection after another, a
// line at a time, until it is gone.
#pragma once

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <atomic>
#include <map>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

class SimulatedMeter {
 public:
  // What it answers to each line; to a line that is not here it keeps silent, as a meter in an error state does.
  explicit SimulatedMeter(std::map<std::string, std::string> answers) : answers_(std::move(answers)) {
    listening_ = socket(AF_INET, SOCK_STREAM, 0);
    sockaddr_in at{};
    at.sin_family = AF_INET;
    at.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    bind(listening_, reinterpret_cast<sockaddr*>(&at), sizeof at);
    socklen_t size = sizeof at;
    getsockname(listening_, reinterpret_cast<sockaddr*>(&at), &size);
    port_ = ntohs(at.sin_port);
    listen(listening_, 4);
    thread_ = std::thread([this] { serve(); });
  }
  ~SimulatedMeter() {
    stop_ = true;
    thread_.join();
    close(listening_);
  }
  SimulatedMeter(const SimulatedMeter&) = delete;
  SimulatedMeter& operator=(const SimulatedMeter&) = delete;

  std::string address() const { return "tcp:127.0.0.1:" + std::to_string(port_); }
  std::vector<std::string> asked() const {
    const std::lock_guard lock(mutex_);
    return asked_;
  }

 private:
  static bool readable(int fd) {
    pollfd one{fd, POLLIN, 0};
    return poll(&one, 1, 20) > 0;
  }
  void serve() {
    while (!stop_) {
      if (!readable(listening_)) continue;
      const int fd = accept(listening_, nullptr, nullptr);
      std::string waiting;
      for (bool open = true; open && !stop_;) {
        if (!readable(fd)) continue;
        char block[256];
        const ssize_t n = read(fd, block, sizeof block);
        open = n > 0;
        if (n > 0) waiting.append(block, static_cast<std::size_t>(n));
        for (std::size_t end = 0; (end = waiting.find('\n')) != std::string::npos; waiting.erase(0, end + 1)) {
          const std::string line = waiting.substr(0, end);
          {
            const std::lock_guard lock(mutex_);
            asked_.push_back(line);
          }
          if (const auto answer = answers_.find(line); answer != answers_.end()) {
            const std::string out = answer->second + "\n";
            // In two pieces, as a slow line would bring it.
            open = send(fd, out.data(), out.size() / 2, MSG_NOSIGNAL) >= 0 && send(fd, out.data() + out.size() / 2, out.size() - out.size() / 2, MSG_NOSIGNAL) >= 0;
          }
        }
      }
      close(fd);
    }
  }

  std::map<std::string, std::string> answers_;
  int listening_ = -1, port_ = 0;
  std::atomic<bool> stop_ = false;
  mutable std::mutex mutex_;
  std::vector<std::string> asked_;
  std::thread thread_;
};
