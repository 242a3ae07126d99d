using System.Globalization;
using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Reports;

namespace CaliperStation.Cli;

/// <summary>Writes what a caliper's task tells, each changed value once and the state each second.</summary>
internal sealed class ListenReport(TextWriter output, bool json)
{
    // A wrong framing refuses every line: more than this many a second only push what is wrong off the screen. They are all counted, and all in JSON.
    private const int RefusedShownInASecond = 3;

    private Length? _shown;
    private LengthUnit? _unit;
    private int _inThisSecond;
    private long _refused;
    private int _refusedShown;
    private string _state = "";
    private bool _open;

    /// <summary>One event; null each second.</summary>
    internal void Take(CaliperEvent? one)
    {
        switch (one)
        {
            case CaliperEvent.Opened:
                _open = true;
                Say("open", "the line is open");
                break;
            case CaliperEvent.Lost lost:
                _open = false;
                Say("lost", lost.Words, lost.Kind.ToString());
                break;
            case CaliperEvent.Value value:
                TakeValue(value.Reading);
                break;
            case CaliperEvent.Refused refused:
                _refused++;
                Refuse(refused);
                break;
            case CaliperEvent.Press:
                Say("press", "the caliper's button or a switch on the line was pressed");
                break;
            case CaliperEvent.Noted noted:
                Say("note", noted.Words, noted.Kind.ToString());
                break;
            case CaliperEvent.Diagnosed { Words: { } wrong }:
                Say("wrong", wrong);
                break;
            case CaliperEvent.Diagnosed when _open:
                Say("well", "nothing seems wrong with the line any more");
                break;
            case null:
                Second();
                break;
        }

        output.Flush();
    }

    private void TakeValue(Reading value)
    {
        _inThisSecond++;
        if (_unit is { } before && before != value.Unit)
        {
            Say("unit", $"the caliper's unit changed to {Name(value.Unit)}");
        }

        bool changed = value.Value != _shown || value.Unit != _unit;
        (_shown, _unit) = (value.Value, value.Unit);
        if (!changed)
        {
            return;
        }

        output.WriteLine(json
            ? JsonText.Object(writer =>
            {
                writer.WriteString("event", "value");
                writer.WriteNumber("valueNm", value.Value.Nanometres);
                writer.WriteString("unit", Name(value.Unit));
                writer.WriteString("raw", value.Raw);
            })
            : $"{LengthFormat.Show(value.Value, LengthDisplay.Millimetre),12}  {LengthFormat.Show(value.Value, LengthDisplay.Inch),12}  {LengthFormat.Show(value.Value, LengthDisplay.Ticks),10}   {value.Raw}");
    }

    private void Refuse(CaliperEvent.Refused refused)
    {
        if (json)
        {
            output.WriteLine(JsonText.Object(writer =>
            {
                writer.WriteString("event", "refused");
                writer.WriteString("kind", Code(refused.Kind.ToString()));
                writer.WriteString("why", refused.Words);
                writer.WriteString("raw", refused.Raw);
            }));
        }
        else if (++_refusedShown <= RefusedShownInASecond)
        {
            output.WriteLine($"refused: {refused.Words}: {refused.Raw}");
        }
    }

    private void Second()
    {
        int rate = _inThisSecond;
        (_inThisSecond, _refusedShown) = (0, 0);
        string unit = _unit is { } known ? Name(known) : "none yet";
        string state = string.Create(CultureInfo.InvariantCulture, $"{rate} values a second, {_refused} refused, unit {unit}");
        if (json)
        {
            output.WriteLine(JsonText.Object(writer =>
            {
                writer.WriteString("event", "state");
                writer.WriteNumber("valuesPerSecond", rate);
                writer.WriteNumber("refused", _refused);
                writer.WriteString("unit", _unit is { } shown ? Name(shown) : null);
            }));
        }
        else if (state != _state)
        {
            output.WriteLine($"-- {state}");
        }

        _state = state;
    }

    private void Say(string what, string words, string? kind = null) => output.WriteLine(json
        ? JsonText.Object(writer =>
        {
            writer.WriteString("event", what);
            if (kind is not null)
            {
                writer.WriteString("kind", Code(kind));
            }

            writer.WriteString("why", words);
        })
        : $"-- {words}");

    /// <summary><c>NoUnit</c> is <c>no-unit</c>.</summary>
    private static string Code(string kind) => JsonNamingPolicy.KebabCaseLower.ConvertName(kind);

    private static string Name(LengthUnit unit) => unit switch
    {
        LengthUnit.Millimetre => "mm",
        LengthUnit.Inch => "in",
    };
}
