// JPEG by libjpeg-turbo's scanline interface: unlike the whole-picture one it can say how far it is, be
// stopped between rows, and tell a damaged file from a harmless oddity by the warning's code.
#include <algorithm>
#include <csetjmp>
#include <cstdio>
#include <optional>
#include <vector>

#include <jpeglib.h>
// After jpeglib.h; gives the warnings' codes.
#include <jerror.h>

#include "pictures/decoders.h"
#include "pictures/exif_orientation.h"
#include "pictures/jpeg_quick_preview.h"
#include "pictures/picture_limits.h"

namespace boardlore {
namespace {

// One decompressor, its error handling and what went wrong. libjpeg leaves by longjmp, so nothing with a
// destructor lives in a frame that is jumped over: everything is a member here.
struct Decoder {
  jpeg_decompress_struct info{};
  jpeg_error_mgr errors{};
  jpeg_progress_mgr watch{};
  std::jmp_buf escape;
  std::span<const std::byte> bytes;
  const ProgressFn* progress = nullptr;
  std::stop_token stop;
  bool stopped = false;
  // Plain memory: filled in frames that are jumped over.
  const char* expected = "";
  char found[JMSG_LENGTH_MAX] = "";
  std::size_t failed_at = 0;
  // Members, not locals of the function that calls setjmp: their state must survive the jump.
  std::optional<UprightWriter> writer;
  std::vector<std::uint8_t> batch;

  Decoder() {
    info.err = jpeg_std_error(&errors);
    errors.error_exit = [](j_common_ptr common) { self(common).fail_with_library_text(); };
    errors.emit_message = [](j_common_ptr common, int level) {
      if (level < 0) self(common).judge_warning();
    };
    errors.output_message = [](j_common_ptr) {};
    info.client_data = this;
    watch.progress_monitor = [](j_common_ptr common) { self(common).look_up(); };
  }
  ~Decoder() { jpeg_destroy_decompress(&info); }
  Decoder(const Decoder&) = delete;
  Decoder& operator=(const Decoder&) = delete;

  static Decoder& self(j_common_ptr common) { return *static_cast<Decoder*>(common->client_data); }

  std::size_t position() const { return info.src ? bytes.size() - info.src->bytes_in_buffer : 0; }

  [[noreturn]] void leave() { std::longjmp(escape, 1); }

  [[noreturn]] void fail(const char* what_was_expected, const char* what_was_found) {
    expected = what_was_expected;
    if (what_was_found != found) std::snprintf(found, sizeof found, "%s", what_was_found);
    failed_at = std::min(position(), bytes.size());
    leave();
  }

  [[noreturn]] void fail_with_library_text() {
    errors.format_message(reinterpret_cast<j_common_ptr>(&info), found);
    fail("a JPEG that can be decoded", found);
  }

  // Half a picture, or one with its lower part shifted, must not pass for the photo.
  void judge_warning() {
    switch (errors.msg_code) {
      case JWRN_JPEG_EOF:
      case JWRN_HIT_MARKER: fail("a whole JPEG", "the file ends early (it was cut off, or is still being copied)");
      case JWRN_HUFF_BAD_CODE:
      case JWRN_ARITH_BAD_CODE:
      case JWRN_MUST_RESYNC: fail("undamaged scan data", "a code that stands for nothing");
      default: break;  // extra bytes between segments, odd JFIF versions: every camera has its ways
    }
  }

  // Called by libjpeg in long loops (all passes of a progressive JPEG are read before the first row).
  void look_up() {
    if (stop.stop_requested()) {
      stopped = true;
      leave();
    }
    if (info.input_scan_number > kMaxJpegScans)
      fail("a JPEG of at most 200 passes", "more");
    if (progress && *progress && info.buffered_image == FALSE && watch.total_passes > 1 && watch.pass_limit > 0) {
      const double within = static_cast<double>(watch.pass_counter) / static_cast<double>(watch.pass_limit);
      report((watch.completed_passes + within) / watch.total_passes);
    }
  }

  double reported = 0;
  void report(double fraction) {
    if (!progress || !*progress || fraction <= reported) return;
    reported = fraction < 1 ? fraction : 1;
    (*progress)(reported);
  }

  void open(std::span<const std::byte> picture) {
    bytes = picture;
    jpeg_create_decompress(&info);
    // jpeg_create_decompress clears the struct but keeps err and client_data.
    info.progress = &watch;
    jpeg_mem_src(&info, reinterpret_cast<const unsigned char*>(bytes.data()), static_cast<unsigned long>(bytes.size()));
    jpeg_read_header(&info, TRUE);
  }

  // Huffman coding spends at least a bit on each block of the widest component's first pass, so that a few
  // kilobytes cannot hold a picture of a hundred megapixels. MCUs are at most 32 px a side.
  bool has_bytes_for_its_size() const {
    if (info.arith_code) return true;
    const std::size_t mcu_side_x = 8u * static_cast<unsigned>(info.max_h_samp_factor);
    const std::size_t mcu_side_y = 8u * static_cast<unsigned>(info.max_v_samp_factor);
    const std::size_t mcus = ((info.image_width + mcu_side_x - 1) / mcu_side_x) *
                             ((info.image_height + mcu_side_y - 1) / mcu_side_y);
    return bytes.size() >= mcus / 8;
  }

  Problem problem(const std::string& name) const {
    if (stopped) return stopped_problem(name);
    return {name, "byte " + std::to_string(failed_at), expected, found};
  }
};

Result<Done> check_header(const Decoder& decoder, const std::string& name) {
  const auto& info = decoder.info;
  const Result<Done> size = check_picture_size(info.image_width, info.image_height, name, "JPEG frame header");
  if (!size) return size.problem();
  if (!decoder.has_bytes_for_its_size())
    return Problem{name, "JPEG frame header",
                   "a file long enough for " + std::to_string(info.image_width) + " x " +
                       std::to_string(info.image_height) + " px",
                   std::to_string(decoder.bytes.size()) + " bytes"};
  return Done{};
}

// The smallest eighths (1, 2, 4 or 8 of 8) whose shorter side still has min_side_px.
unsigned eighths_for(const jpeg_decompress_struct& info, int min_side_px) {
  if (min_side_px <= 0) return 8;
  const unsigned shorter = std::min(info.image_width, info.image_height);
  for (unsigned eighths : {1u, 2u, 4u})
    if ((shorter * eighths + 7) / 8 >= static_cast<unsigned>(min_side_px)) return eighths;
  return 8;
}

bool is_cmyk(const jpeg_decompress_struct& info) {
  return info.jpeg_color_space == JCS_CMYK || info.jpeg_color_space == JCS_YCCK;
}

// Four-colour JPEGs come inverted from the programs that write them (Adobe marker); ink to light, plainly.
void rgba_from_inverted_cmyk(std::uint8_t* row, std::size_t pixels) {
  for (std::size_t i = 0; i < pixels; ++i, row += 4) {
    const unsigned black = row[3];
    for (int channel = 0; channel < 3; ++channel)
      row[channel] = static_cast<std::uint8_t>(row[channel] * black / 255);
    row[3] = 255;
  }
}

}  // namespace

Result<StoredSize> jpeg_size(std::span<const std::byte> bytes, const std::string& name) {
  Decoder decoder;
  if (setjmp(decoder.escape) != 0) return decoder.problem(name);
  decoder.open(bytes);
  const Result<Done> header = check_header(decoder, name);
  if (!header) return header.problem();
  return StoredSize{static_cast<int>(decoder.info.image_width), static_cast<int>(decoder.info.image_height)};
}

Result<Raster> decode_jpeg(const DecodeJob& job) {
  // Rows go to the writer a batch at a time: the batch stays in the cache, and 16 is what a turn likes.
  constexpr JDIMENSION kRows = 16;
  Decoder decoder;
  decoder.progress = &job.progress;
  decoder.stop = job.stop;
  auto& info = decoder.info;
  auto& batch = decoder.batch;
  if (setjmp(decoder.escape) != 0) return decoder.problem(job.name);
  decoder.open(job.bytes);
  {
    const Result<Done> header = check_header(decoder, job.name);
    if (!header) return header.problem();
  }
  info.scale_num = eighths_for(info, job.min_side_px);
  if (info.scale_num == 1) {
    if (auto quick = quick_eighth(job.bytes, job.stop)) return upright(*std::move(quick), job.orientation);
  }
  info.scale_denom = 8;
  info.out_color_space = is_cmyk(info) ? JCS_CMYK : JCS_EXT_RGBA;
  // A progressive picture that lacks its last passes is shown as it is stored: smoothed, it would differ from
  // its own scrubbed copy.
  info.do_block_smoothing = FALSE;
  jpeg_start_decompress(&info);
  decoder.writer.emplace(static_cast<int>(info.output_width), static_cast<int>(info.output_height), job.orientation);
  batch.resize(4 * static_cast<std::size_t>(info.output_width) * kRows);
  while (info.output_scanline < info.output_height) {
    if (job.stop.stop_requested()) return stopped_problem(job.name);
    JDIMENSION filled = 0;
    while (filled < kRows && info.output_scanline < info.output_height) {
      JSAMPROW rows[kRows];
      for (JDIMENSION i = 0; i < kRows; ++i) rows[i] = batch.data() + 4 * std::size_t{info.output_width} * i;
      filled += jpeg_read_scanlines(&info, rows + filled, kRows - filled);
    }
    if (is_cmyk(info)) rgba_from_inverted_cmyk(batch.data(), std::size_t{info.output_width} * filled);
    decoder.writer->add_rows(batch.data(), static_cast<int>(filled));
    decoder.report(static_cast<double>(info.output_scanline) / info.output_height);
  }
  jpeg_finish_decompress(&info);
  return std::move(*decoder.writer).take();
}

}  // namespace boardlore
