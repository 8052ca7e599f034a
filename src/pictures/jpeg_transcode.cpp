// Takes a JPEG's coefficients out and writes them again: same picture, bit for bit, and not a byte more; or with
// blocks covered, and the rest bit for bit.
#include <algorithm>
#include <csetjmp>
#include <cstdio>
#include <cstdlib>
#include <cstring>
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

  // ITU-T T.81 A.1.1: a component's block covers 8 of its own samples a side, so 8 * largest factor / its factor
  // pixels of the picture. The first coefficient is eight times the mean, levels shifted by 128 (A.3.1, A.3.3).
  void cover(jvirt_barray_ptr blocks, int component, const PixelRect& rect, int grey) {
    const jpeg_component_info& info = from.comp_info[component];
    const int across = 8 * from.max_h_samp_factor / info.h_samp_factor, down = 8 * from.max_v_samp_factor / info.v_samp_factor;
    const auto first_row = static_cast<JDIMENSION>(rect.top / down), first_column = static_cast<JDIMENSION>(rect.left / across);
    const auto end_row = std::min(static_cast<JDIMENSION>((rect.bottom + down - 1) / down), info.height_in_blocks);
    const auto end_column = std::min(static_cast<JDIMENSION>((rect.right + across - 1) / across), info.width_in_blocks);
    const bool brightness = component == 0 || from.jpeg_color_space == JCS_RGB;
    const int step = info.quant_table != nullptr && info.quant_table->quantval[0] > 0 ? info.quant_table->quantval[0] : 1;
    const JCOEF mean = static_cast<JCOEF>(brightness ? (grey - 128) * 8 / step : 0);
    for (JDIMENSION row = first_row; row < end_row; ++row) {
      JBLOCKARRAY line = (*from.mem->access_virt_barray)(reinterpret_cast<j_common_ptr>(&from), blocks, row, 1, TRUE);
      for (JDIMENSION column = first_column; column < end_column; ++column) {
        std::memset(line[0][column], 0, sizeof(JBLOCK));
        line[0][column][0] = mean;
      }
    }
  }

  void copy(jvirt_barray_ptr* coefficients) {
    jpeg_create_compress(&to);
    jpeg_mem_dest(&to, &written, &written_size);
    jpeg_copy_critical_parameters(&from, &to);
    to.write_JFIF_header = to.write_Adobe_marker = FALSE;
    to.optimize_coding = TRUE;
    jpeg_write_coefficients(&to, coefficients);
    for (jpeg_saved_marker_ptr marker = from.marker_list; marker != nullptr; marker = marker->next)
      jpeg_write_marker(&to, marker->marker, marker->data, marker->data_length);
    jpeg_finish_compress(&to);
    jpeg_finish_decompress(&from);
  }
  std::string bytes() const { return {reinterpret_cast<const char*>(written), written_size}; }
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
  transcoder.copy(jpeg_read_coefficients(&transcoder.from));
  return transcoder.bytes();
}

Result<std::string> jpeg_with_blocks_covered(const std::string& jpeg, const std::vector<PixelRect>& rects, int grey,
                                             const std::string& name) {
  Transcoder transcoder;
  if (setjmp(transcoder.escape) != 0) return problem_of(transcoder, name);
  transcoder.open(jpeg);
  jvirt_barray_ptr* coefficients = jpeg_read_coefficients(&transcoder.from);
  for (int i = 0; i < transcoder.from.num_components; ++i)
    for (const PixelRect& rect : rects) transcoder.cover(coefficients[i], i, rect, grey);
  transcoder.copy(coefficients);
  return transcoder.bytes();
}

}  // namespace boardlore
