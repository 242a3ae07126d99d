using System.Globalization;
using CaliperStation.Core.Quantities;
using CaliperStation.Devices;

namespace CaliperStation.Cli;

/// <summary>Writes what a caliper's task tells, each changed value once and the state each second.</summary>
internal sealed class ListenReport(TextWriter output, bool json, LineDoctor doctor, TimeProvider time)
{
    // A wrong framing refuses every line: more than this many a second only push what is wrong off the screen. They are all counted, and all in JSON.
    private const int RefusedShownInASecond = 3;

    private long _opened = time.GetTimestamp();
    private Length? _shown;
    private LengthUnit? _unit;
    private int _inThisSecond;
    private long _refused;
    private int _refusedShown;
    private string? _opinion;
    private string _state = "";
    private bool _open;

    /// <summary>One event; null each second.</summary>
    internal void Take(CaliperEvent? one)
    {
        switch (one)
        {
            case CaliperEvent.Opened:
                _opened = time.GetTimestamp();
                _open = true;
                Say("open", "the line is open");
                break;
            case CaliperEvent.Lost lost:
                _open = false;
                Say("lost", lost.Why);
                break;
            case CaliperEvent.Value value:
                TakeValue(value);
                break;
            case CaliperEvent.Refused refused:
                _refused++;
                doctor.TakeRefused(refused.Why);
                Refuse(refused);
                break;
            case CaliperEvent.Press press:
                Say("press", press.Why);
                break;
            case CaliperEvent.Noted noted:
                Say("note", noted.Words);
                break;
            case null:
                Second();
                break;
        }

        output.Flush();
    }

    private void TakeValue(CaliperEvent.Value value)
    {
        doctor.TakeValue();
        _inThisSecond++;
        if (_unit is { } before && before != value.Unit)
        {
            Say("unit", $"the caliper's unit changed to {Name(value.Unit)}");
        }

        bool changed = value.Length != _shown || value.Unit != _unit;
        (_shown, _unit) = (value.Length, value.Unit);
        if (!changed)
        {
            return;
        }

        output.WriteLine(json
            ? JsonText.Object(writer =>
            {
                writer.WriteString("event", "value");
                writer.WriteNumber("valueNm", value.Length.Nanometres);
                writer.WriteString("unit", Name(value.Unit));
                writer.WriteString("raw", value.Raw);
            })
            : $"{LengthFormat.Show(value.Length, LengthDisplay.Millimetre),12}  {LengthFormat.Show(value.Length, LengthDisplay.Inch),12}  {LengthFormat.Show(value.Length, LengthDisplay.Ticks),10}   {value.Raw}");
    }

    private void Refuse(CaliperEvent.Refused refused)
    {
        if (json)
        {
            output.WriteLine(JsonText.Object(writer =>
            {
                writer.WriteString("event", "refused");
                writer.WriteString("why", refused.Why);
                writer.WriteString("raw", refused.Raw);
            }));
        }
        else if (++_refusedShown <= RefusedShownInASecond)
        {
            output.WriteLine($"refused: {refused.Why}: {refused.Raw}");
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
        string? opinion = _open ? doctor.Opinion(time.GetElapsedTime(_opened)) : null;
        if (opinion is not null && opinion != _opinion)
        {
            Say("wrong", opinion);
        }

        _opinion = opinion;
    }

    private void Say(string kind, string words) => output.WriteLine(json
        ? JsonText.Object(writer =>
        {
            writer.WriteString("event", kind);
            writer.WriteString("why", words);
        })
        : $"-- {words}");

    private static string Name(LengthUnit unit) => unit switch
    {
        LengthUnit.Millimetre => "mm",
        LengthUnit.Inch => "in",
    };
}
