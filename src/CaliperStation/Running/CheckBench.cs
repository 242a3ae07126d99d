using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;

namespace CaliperStation.Running;

/// <summary>The dialogue of a caliper check: closed jaws and blocks one after the other, each pressed or typed.</summary>
internal sealed class CheckBench(CheckSettings settings, IPressSource caliper, LineReader input, CheckFace face)
{
    /// <summary>An error larger than this is another block, or another unit, and is asked about.</summary>
    private static readonly Length WrongBlock = Length.Millimetre;

    private readonly List<CheckPoint> _points = [];
    private (int Point, Length Shown)? _asked;

    /// <summary>Works until every point is read; null at <c>stop</c>, the end of the input or a cancellation: nothing is kept then.</summary>
    internal async Task<CaliperCheck?> RunAsync(CancellationToken stop)
    {
        while (_points.Count < settings.Blocks.Count)
        {
            face.Prompt(_points.Count, settings.Blocks.Count, settings.Blocks[_points.Count]);
            if (await input.ReadAsync(stop).ConfigureAwait(false) is not { } line)
            {
                return null;
            }

            switch (Answer.Of(line, LengthUnit.Millimetre))
            {
                case Answer.Stop:
                    return null;
                case Answer.Press:
                    PressResult press = await caliper.PressAsync(Step(_points.Count), stop).ConfigureAwait(false);
                    Take(press.Reading, press.Refusal);
                    break;
                case Answer.Typed typed:
                    Take(new Reading(typed.Length.Value, typed.Length.Unit, TypedRule.Usual.ResolutionOf(typed.Length), ReadingSource.Typed, default, typed.Raw), null);
                    break;
                case Answer.Retake { Step: null } when _points.Count > 0:
                    _points.RemoveAt(_points.Count - 1);
                    break;
                case Answer.Unreadable unreadable:
                    face.Refused(unreadable.Why);
                    break;
                default:
                    face.Refused("say a length, an empty line to press, retake for the point before, or stop");
                    break;
            }
        }

        return Checked;
    }

    private CaliperCheck Checked => new(settings.Range, settings.Permissible, [.. _points]);

    /// <summary>The step that the press source of a sitting is told; only its id matters here.</summary>
    internal static Step Step(int point) =>
        new(FormattableString.Invariant($"{point}"), "block", "block", default, null, null, "", null, null, null);

    private void Take(Reading? reading, string? refusal)
    {
        if (reading is null)
        {
            face.Refused(refusal ?? "there is no reading");
            return;
        }

        CheckPoint point = new(settings.Blocks[_points.Count], reading.Value);
        if (reading.Resolution > settings.Permissible)
        {
            // ISO 13385-1:2019, digital display: the permissible error is never smaller than the digital step.
            face.Refused($"one step of this display, {LengthFormat.ShowExact(reading.Resolution)}, is coarser than the permissible error");
        }
        else if (point.Error.Abs() > WrongBlock && _asked != (_points.Count, point.Shown))
        {
            _asked = (_points.Count, point.Shown);
            face.Refused($"{LengthFormat.Show(point.Shown, LengthDisplay.Millimetre)} is more than a millimetre off: is it this block, zero set with closed jaws, and the unit right? Given again, it is taken.");
        }
        else
        {
            _points.Add(point);
            caliper.Taken(reading);
            face.Reading(_points.Count - 1, Checked, point, reading.Source);
        }
    }
}
