using System.Text.Json;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Standards;

namespace CaliperStation.Core.Tests.Reports;

public sealed class AdviceReportTests
{
    private static readonly Plan Plan = Plan.For(StandardFiles.Loaded(StandardFiles.Text("quayside-parade.toml")), new Dictionary<string, string> { ["second-badge"] = "yes" });

    private static readonly Advice Tilted = Of(
        """
        # the rack hangs low on its left, the badge sits well above it, the device is off to the side
        rack-left,0.94 in
        rack-right,0.94 in
        rack-low-left,0.031 in
        rack-low-right,0.125 in
        badge-gap-left,0.406 in
        badge-gap-right,0.344 in
        badge-left,1.30 in
        badge-right,1.30 in
        collar-left-corner,0.875 in
        collar-left-front,0.50 in
        collar-left-seam,0.75 in
        """);

    [Fact]
    public void Advice_is_told_in_words() => Assert.Equal(
        """
        displacements, left and right as you face the blouse:
          rack         right 0 t, down 1½ t, turned 1.8° anticlockwise
          badge        left ½ t, up ½ t, turned 1.8° clockwise
          collar-left  left 4 t, up 4 t, turn unseen
        fewest re-pins: 3 items
          rack: left pin: up 3 t; right pin: leave
            Pins are sharp: move them with the point away from you, count them, and follow your company's safety rules.
            then: rack-left 30 t, rack-right 30 t, rack-low-left 4 t, rack-low-right 4 t, badge-gap-left 10 t, badge-gap-right 10 t, badge-left 41½ t, badge-right 41½ t
            measure again: rack-left, rack-right, rack-low-left, rack-low-right, badge-gap-left, badge-gap-right, badge-left, badge-right
            alone it will put out: badge-centred
          badge: left pin: down 1 t, right ½ t; right pin: right ½ t
            Pins are sharp: move them with the point away from you, count them, and follow your company's safety rules.
            then: badge-gap-left 10 t, badge-gap-right 10 t, badge-left 41½ t, badge-right 41½ t
            measure again: badge-gap-left, badge-gap-right, badge-left, badge-right, badge-2-gap
            alone it will put out: badge-centred
          collar-left: pin: down 4 t, right 4 t
            Pins are sharp: move them with the point away from you, count them, and follow your company's safety rules.
            then: collar-left-corner 28 t, collar-left-front 20 t, collar-left-seam 20 t
            measure again: collar-left-corner, collar-left-front, collar-left-seam
        """ + "\n",
        AdviceText.All(Plan, Tilted));

    [Fact]
    public void Advice_for_programs_has_the_promised_members()
    {
        using JsonDocument json = JsonDocument.Parse(AdviceJson.All(Tilted));
        JsonElement rack = json.RootElement.GetProperty("displacements")[0];
        JsonElement move = json.RootElement.GetProperty("advice")[0];
        JsonElement pin = move.GetProperty("moves")[0];

        Assert.Equal("rack", rack.GetProperty("item").GetString());
        Assert.Equal(Math.Round(Tilted.Poses[0].TurnMilliradians, 6), rack.GetProperty("turnMilliradians").GetDouble());   // to the nanoradian
        Assert.Equal(9, rack.GetProperty("covariance").GetArrayLength());
        Assert.Equal(Tilted.Moves[0].Item, move.GetProperty("item").GetString());
        Assert.Equal(0, pin.GetProperty("pin").GetInt32());
        Assert.Equal(Tilted.Moves[0].Pins[0].Right.Nanometres, pin.GetProperty("rightNm").GetInt64());
        Assert.Equal(Tilted.Moves[0].Pins[0].Up.Nanometres, pin.GetProperty("upNm").GetInt64());
        Assert.Equal(Tilted.Moves[0].Pins[0].Words, pin.GetProperty("words").GetString());
        Assert.Equal(Cautions.Pins, move.GetProperty("caution").GetString());
        Assert.Equal(0, json.RootElement.GetProperty("wanted").GetArrayLength());
        Assert.Equal(Tilted.Moves.Select(each => each.Item), json.RootElement.GetProperty("fewest").GetProperty("items").EnumerateArray().Select(item => item.GetString()!));
        Assert.True(json.RootElement.GetProperty("fewest").GetProperty("proven").GetBoolean());
    }

    [Fact]
    public void What_no_reading_sees_has_no_value()
    {
        using JsonDocument json = JsonDocument.Parse(AdviceJson.All(Of("rack-low-left,1/8\nrack-low-right,1/8")));
        JsonElement rack = json.RootElement.GetProperty("displacements")[0];

        Assert.False(rack.TryGetProperty("rightNm", out _));
        Assert.Equal("right", rack.GetProperty("unseen")[0].GetString());
    }

    [Fact]
    public void What_must_be_read_before_the_move_is_told_in_words_and_for_programs()
    {
        Advice advice = Of("rack-left,0.94 in\nrack-right,0.94 in\nrack-low-left,0.031 in");
        using JsonDocument json = JsonDocument.Parse(AdviceJson.All(advice));

        Assert.EndsWith(": rack-low-right\n", AdviceText.All(Plan, advice), StringComparison.Ordinal);
        Assert.Equal(["rack-low-right"], json.RootElement.GetProperty("wanted").EnumerateArray().Select(step => step.GetString()));
        Assert.Equal(0, json.RootElement.GetProperty("advice").GetArrayLength());
    }

    [Fact]
    public void A_coat_in_order_has_nothing_to_move() => Assert.Equal(
        "displacements, left and right as you face the blouse:\n  rack  sideways unseen, up 0 t, not turned\nnothing to move\n",
        AdviceText.All(Plan, Of("rack-low-left,0.125\nrack-low-right,0.125")));

    private static Advice Of(string readings)
    {
        ReadingsFile file = ReadingsFile.Read(Plan, readings);
        Assert.Empty(file.Faults);
        return Advise.For(Plan, file.Readings, CorrectingSettings.For(Plan.Standard));
    }
}
