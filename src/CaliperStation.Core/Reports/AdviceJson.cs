using System.Text.Json;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Reports;

/// <summary>The answer of <c>advise --json</c>.</summary>
public static class AdviceJson
{
    /// <summary>
    /// An object: <c>displacements</c> (<c>item</c>, <c>rightNm</c>, <c>upNm</c>, <c>turnMilliradians</c>, <c>covariance</c> of nine numbers in nm²,
    /// nm·rad and rad², <c>unseen</c>; what is unseen has no value; right and up to the whole nanometre, a turn to the nanoradian), <c>wanted</c> (steps to read before the rest is known), <c>advice</c> (see <see cref="WriteMove"/>), <c>fewest</c> (<c>items</c>,
    /// <c>proven</c>), <c>doubtful</c>, <c>conflicts</c>. Right is the viewer's.
    /// </summary>
    public static string All(Advice advice) => JsonText.Object(json =>
    {
        JsonText.Objects(json, "displacements", advice.Poses, pose => WritePose(json, pose));
        JsonText.Strings(json, "wanted", advice.Wanted);
        JsonText.Objects(json, "advice", advice.Moves, move => WriteMove(json, move));
        json.WriteStartObject("fewest");
        JsonText.Strings(json, "items", advice.Moves.Select(move => move.Item));
        json.WriteBoolean("proven", advice.ProvenFewest);
        json.WriteEndObject();
        JsonText.Strings(json, "doubtful", advice.Outliers);
        JsonText.Strings(json, "conflicts", advice.Conflicts);
    }) + "\n";

    /// <summary>
    /// The members of one item's advice, as in a line of the plain bench: <c>item</c>, <c>moves</c> (<c>pin</c>, <c>rightNm</c>, <c>upNm</c>,
    /// <c>words</c>), <c>should</c> (nanometres by step), <c>willBreak</c>, <c>makesStale</c>, <c>caution</c>.
    /// </summary>
    public static void WriteMove(Utf8JsonWriter json, ItemMove move)
    {
        json.WriteString("item", move.Item);
        JsonText.Objects(json, "moves", move.Pins, pin =>
        {
            json.WriteNumber("pin", pin.Pin);
            json.WriteNumber("rightNm", pin.Right.Nanometres);
            json.WriteNumber("upNm", pin.Up.Nanometres);
            json.WriteString("words", pin.Words);
        });
        json.WriteStartObject("should");
        foreach ((string step, Length should) in move.Should)
        {
            json.WriteNumber(step, should.Nanometres);
        }

        json.WriteEndObject();
        JsonText.Strings(json, "willBreak", move.WillBreak);
        JsonText.Strings(json, "makesStale", move.MakesStale);
        json.WriteString("caution", Cautions.Pins);
    }

    /// <summary>The members of one displacement, see <see cref="All"/>.</summary>
    public static void WritePose(Utf8JsonWriter json, ItemPose pose)
    {
        json.WriteString("item", pose.Item);
        WriteSeen(json, pose, "right", "rightNm", Rounded(pose.RightNanometres, 0));
        WriteSeen(json, pose, "up", "upNm", Rounded(pose.UpNanometres, 0));
        WriteSeen(json, pose, "turn", "turnMilliradians", Rounded(pose.TurnMilliradians, 6));
        json.WriteStartArray("covariance");
        foreach (double number in pose.Covariance)
        {
            json.WriteNumberValue(number);
        }

        json.WriteEndArray();
        JsonText.Strings(json, "unseen", pose.Unseen);
    }

    private static void WriteSeen(Utf8JsonWriter json, ItemPose pose, string direction, string name, double value)
    {
        if (!pose.Unseen.Contains(direction))
        {
            json.WriteNumber(name, value);
        }
    }

    /// <summary>Without the last bits of the arithmetic, and without a negative nought.</summary>
    private static double Rounded(double value, int places) => Math.Round(value, places) + 0.0;
}
