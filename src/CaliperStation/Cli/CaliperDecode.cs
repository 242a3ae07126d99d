using System.Text.Json;
using CaliperStation.Core.Frames;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Reports;

namespace CaliperStation.Cli;

/// <summary>What <c>caliper decode</c> was asked for.</summary>
/// <param name="Format">The format's name, one of <see cref="FrameFormats.Names"/>.</param>
/// <param name="Frames">The formats' settings.</param>
internal sealed record CaliperDecodeOptions(string Format, FrameOptions Frames);

/// <summary>Decodes frames from a text, one a line, to one JSON object a line.</summary>
internal static class CaliperDecode
{
    /// <summary>Returns 0 when every line is a value, 1 when any was refused, 2 for an unknown format, 130 when interrupted.</summary>
    internal static async Task<int> RunAsync(CaliperDecodeOptions options, TextReader input, TextWriter output, TextWriter errors, CancellationToken stop)
    {
        if (!FrameFormats.TryParse(options.Format, out FrameFormat format))
        {
            await errors.WriteLineAsync(
                $"\"{PrintableText.Escape(options.Format)}\" is no format; say one of: {string.Join(", ", FrameFormats.Names)}.").ConfigureAwait(false);
            return 2;
        }

        bool allValues = true;
        while (!stop.IsCancellationRequested)
        {
            if (await NextLineAsync(input, stop).ConfigureAwait(false) is not { } line)
            {
                return stop.IsCancellationRequested ? 130 : allValues ? 0 : 1;
            }

            if (string.IsNullOrWhiteSpace(line))
            {
                continue;
            }

            FrameEvent found = FrameDecode.Decode(format, line, options.Frames);
            allValues &= found.Kind == FrameEventKind.Value;
            await output.WriteLineAsync(Show(found)).ConfigureAwait(false);
        }

        return 130;
    }

    private static string Show(FrameEvent found) => JsonText.Object(json =>
    {
        switch (found.Kind)
        {
            case FrameEventKind.Value:
                json.WriteNumber("valueNm", found.Value.Nanometres);
                json.WriteString("unit", found.Unit switch
                {
                    LengthUnit.Millimetre => "mm",
                    LengthUnit.Inch => "in",
                    null => null,
                });
                break;
            case FrameEventKind.Press:
                Refuse(json, found, "press");
                break;
            case FrameEventKind.Ignored or FrameEventKind.Noted:
                Refuse(json, found, "ignored");
                break;
            case FrameEventKind.DeviceError:
                Refuse(json, found, "device-error");
                break;
            case FrameEventKind.Refused:
                Refuse(json, found, "bad-frame");
                break;
        }
    });

    /// <summary>Everything that is no value is refused; the kind says how.</summary>
    private static void Refuse(Utf8JsonWriter json, FrameEvent found, string kind)
    {
        json.WriteString("refused", found.Why);
        json.WriteString("kind", kind);
    }

    private static async ValueTask<string?> NextLineAsync(TextReader input, CancellationToken stop)
    {
        try
        {
            return await input.ReadLineAsync(stop).ConfigureAwait(false);
        }
        catch (OperationCanceledException)
        {
            return null;
        }
    }
}
