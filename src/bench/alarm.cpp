#include "bench/alarm.h"

#include <SDL.h>

#include <cmath>
#include <cstdint>

namespace boardlore {
namespace {

constexpr double flash_s = 0.7;
constexpr int rate_hz = 22050;

// Two short tones, falling, with soft ends so that they do not click.
std::vector<std::int16_t> tones() {
  std::vector<std::int16_t> wave;
  for (const double hz : {880.0, 660.0}) {
    const int n = rate_hz / 8;
    for (int i = 0; i < n; ++i) {
      const double edge = std::min({1.0, i / 200.0, (n - i) / 200.0});
      wave.push_back(static_cast<std::int16_t>(9000 * edge * std::sin(2 * 3.14159265358979 * hz * i / rate_hz)));
    }
    wave.insert(wave.end(), rate_hz / 20, 0);
  }
  return wave;
}

}  // namespace

Alarm::~Alarm() {
  if (device_ != 0) SDL_CloseAudioDevice(device_);
}

void Alarm::raise(bool flash, bool sound) {
  if (flash) until_s_ = ImGui::GetTime() + flash_s;
  if (!sound) return;
  // Opened when first wanted: a bench without loudspeakers has nothing to wait for.
  if (device_ == 0 && SDL_InitSubSystem(SDL_INIT_AUDIO) == 0) {
    SDL_AudioSpec wanted{};
    wanted.freq = rate_hz, wanted.format = AUDIO_S16SYS, wanted.channels = 1, wanted.samples = 1024;
    device_ = SDL_OpenAudioDevice(nullptr, 0, &wanted, nullptr, 0);
    if (device_ != 0) SDL_PauseAudioDevice(device_, 0);
  }
  if (device_ == 0) return;
  const std::vector<std::int16_t> wave = tones();
  SDL_ClearQueuedAudio(device_);
  SDL_QueueAudio(device_, wave.data(), static_cast<Uint32>(wave.size() * sizeof wave[0]));
}

bool Alarm::flashing() const { return ImGui::GetTime() < until_s_; }

void Alarm::draw(const Scene& scene, ImVec2 window) const {
  if (!flashing()) return;
  // The edge alone: the photo and the value stay readable. Once, not blinking.
  const float width = scene.theme.grid(3);
  ImGui::GetForegroundDrawList()->AddRect(ImVec2(width / 2, width / 2), ImVec2(window.x - width / 2, window.y - width / 2), scene.theme.bad, 0, 0, width);
  scene.anchors.note("flash", ImVec2(0, 0), window);
}

}  // namespace boardlore
