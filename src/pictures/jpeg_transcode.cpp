// Takes a JPEG's coefficients out and writes them again: same picture, bit for bit, and not a byte more.
#include <csetjmp>
#include <cstdio>
#include <cstdlib>
#include <memory>

#include <jpeglib.h>
// After jpeglib.h.
#include <jerror.h>

#include "pictures/decoders.h"
#include "pictures/jpeg_segments.h"
#include "pictures/scrub_parts.h"

namespace boardlore {
namespace {

// Everything with a destructor is a member: libjpeg leaves by longjmp (see jpeg_decoder.cpp).
struct Transcoder {
  jpeg_decompress_struct from{};
  jpeg_compress_struct to{};
  jpeg_error_mgr errors{};
  std::jmp_buf escape;
  bool skipped_bytes = false;
  unsigned char* written = nullptr;
  unsigned long written_size = 0;
  char found[JMSG_LENGTH_MAX] = "";

  Transcoder() {
    from.err = to.err = jpeg_std_error(&errors);
    from.client_data = to.client_data = this;
    errors.error_exit = [](j_common_ptr common) {
      auto& self = *static_cast<Transcoder*>(common->client_data);
      self.errors.format_message(common, self.found);
      std::longjmp(self.escape, 1);
    };
    errors.output_message = [](j_common_ptr) {};
    errors.emit_message = [](j_common_ptr common, int level) {
      auto& self = *static_cast<Transcoder*>(common->client_data);
      if (level < 0 && self.errors.msg_code == JWRN_EXTRANEOUS_DATA) self.skipped_bytes = true;
    };
  }
  ~Transcoder() {
    jpeg_destroy_decompress(&from);
    jpeg_destroy_compress(&to);
    std::free(written);
  }
  Transcoder(const Transcoder&) = delete;
  Transcoder& operator=(const Transcoder&) = delete;

  void open(const std::string& jpeg) {
    jpeg_create_decompress(&from);
    jpeg_mem_src(&from, reinterpret_cast<const unsigned char*>(jpeg.data()), static_cast<unsigned long>(jpeg.size()));
    // Kept as found, so that the colour coding of the copy is the same.
    jpeg_save_markers(&from, JPEG_APP0, 0xFFFF);
    jpeg_save_markers(&from, JPEG_APP0 + 1, 0xFFFF);
    jpeg_save_markers(&from, JPEG_APP0 + 2, 0xFFFF);
    jpeg_save_markers(&from, JPEG_APP0 + 14, 0xFFFF);
    jpeg_read_header(&from, TRUE);
  }
};

Problem problem_of(const Transcoder& transcoder, const std::string& name) {
  return {name, "JPEG scan data", "a JPEG that can be copied", transcoder.found};
}

// Only looks: decodes at an eighth and lets the pixels go.
Result<bool> has_skipped_bytes(const std::string& jpeg, const std::string& name) {
  Transcoder transcoder;
  std::unique_ptr<JSAMPLE[]> row;
  if (setjmp(transcoder.escape) != 0) return problem_of(transcoder, name);
  transcoder.open(jpeg);
  transcoder.from.scale_num = 1;
  transcoder.from.scale_denom = 8;
  jpeg_start_decompress(&transcoder.from);
  row.reset(new JSAMPLE[std::size_t{transcoder.from.output_width} * 4]);
  while (transcoder.from.output_scanline < transcoder.from.output_height) {
    JSAMPROW rows[] = {row.get()};
    jpeg_read_scanlines(&transcoder.from, rows, 1);
  }
  jpeg_finish_decompress(&transcoder.from);
  return transcoder.skipped_bytes;
}

}  // namespace

Result<std::string> without_bytes_hidden_in_scans(const std::string& jpeg, const std::string& name) {
  const auto bytes = std::as_bytes(std::span(jpeg.data(), jpeg.size()));
  // The decoder's own checks first: size, damage, early end.
  const ProgressFn no_progress;
  const Result<Raster> decoded = decode_jpeg({bytes, name, 1, 1, no_progress, {}});
  if (!decoded) return decoded.problem();
  const Result<bool> skipped = has_skipped_bytes(jpeg, name);
  if (!skipped) return skipped.problem();
  if (!*skipped) return jpeg;
  Transcoder transcoder;
  if (setjmp(transcoder.escape) != 0) return problem_of(transcoder, name);
  transcoder.open(jpeg);
  jvirt_barray_ptr* coefficients = jpeg_read_coefficients(&transcoder.from);
  jpeg_create_compress(&transcoder.to);
  jpeg_mem_dest(&transcoder.to, &transcoder.written, &transcoder.written_size);
  jpeg_copy_critical_parameters(&transcoder.from, &transcoder.to);
  transcoder.to.write_JFIF_header = transcoder.to.write_Adobe_marker = FALSE;
  transcoder.to.optimize_coding = TRUE;
  jpeg_write_coefficients(&transcoder.to, coefficients);
  for (jpeg_saved_marker_ptr marker = transcoder.from.marker_list; marker != nullptr; marker = marker->next)
    jpeg_write_marker(&transcoder.to, marker->marker, marker->data, marker->data_length);
  jpeg_finish_compress(&transcoder.to);
  jpeg_finish_decompress(&transcoder.from);
  return std::string(reinterpret_cast<const char*>(transcoder.written), transcoder.written_size);
}

}  // namespace boardlore
