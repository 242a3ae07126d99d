using System.Buffers;
using System.Text;
using System.Text.Json;

namespace CaliperStation.Core.Reports;

/// <summary>Writes JSON as text, indented, with line feeds; the writer's own escaping keeps every text safe to show.</summary>
internal static class JsonText
{
    private static readonly JsonWriterOptions Options = new() { Indented = true, NewLine = "\n" };

    internal static string Write(Action<Utf8JsonWriter> write)
    {
        ArrayBufferWriter<byte> buffer = new();
        using (Utf8JsonWriter json = new(buffer, Options))
        {
            write(json);
        }

        return Encoding.UTF8.GetString(buffer.WrittenSpan) + "\n";
    }
}
