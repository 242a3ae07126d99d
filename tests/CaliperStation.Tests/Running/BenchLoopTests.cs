using System.Text;
using CaliperStation.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;
using CaliperStation.Running;
using CaliperStation.Storage;
using CaliperStation.Tests.Whole;
using Microsoft.Extensions.Time.Testing;
using NSubstitute;

namespace CaliperStation.Tests.Running;

/// <summary>The bench behind the screen, without one: what is posted is worked off in order, and every model is kept.</summary>
public sealed class BenchLoopTests
{
    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2026, 11, 25, 8, 0, 0, TimeSpan.Zero));
    private readonly IJournal _journal = Substitute.For<IJournal>();
    private readonly List<BenchModel> _shown = [];
    private readonly List<int> _bells = [];

    [Fact]
    public async Task After_the_advised_move_each_step_says_what_it_should_show_until_it_is_taken()
    {
        await WorkAsync(Confirm, Typed("1/4"), new BenchIntent.Moved(), Typed("1/8"), Typed("1/8"));

        Assert.Contains(_shown, model => model.Advice.Any(line => line.Contains("down 4 t", StringComparison.Ordinal)));
        Assert.EndsWith("After that move this one should show 4 t.", _shown[^3].Message, StringComparison.Ordinal);
        Assert.StartsWith("Moved: bar. To be read again: 1.", _shown[^3].Message, StringComparison.Ordinal);
        Assert.Equal(["Taken: bar low left 4 t.", "Taken: bar low right 4 t."], _shown[^2..].Select(model => model.Message));
    }

    [Fact]
    public async Task A_move_of_something_else_foretells_nothing()
    {
        await WorkAsync(Confirm, Typed("1/4"), Typed("moved star"));

        Assert.DoesNotContain("should show", _shown[^1].Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_verdict_rings_once_for_within_and_three_times_for_outside()
    {
        await WorkAsync(Confirm, Typed("1/8"), Typed("1/4"));

        Assert.Equal([1, 3], _bells);
    }

    [Fact]
    public async Task The_same_value_again_draws_nothing_again()
    {
        CaliperEvent.Value value = new(new Reading(Length.FromMicrometres(3_180), LengthUnit.Millimetre, Length.FromMicrometres(10), ReadingSource.Serial, default, "3.18 mm"));

        await WorkAsync(new CaliperEvent.Opened(), value, value, value, value);

        Assert.InRange(_shown.Count, 1, 4);   // the first, the port, the value, and once it is steady
    }

    [Fact]
    public async Task What_could_not_be_written_does_not_count_and_is_told()
    {
        _journal.Append(default, "", "", "").ReturnsForAnyArgs(_ => null!, _ => null!, _ => throw new StoreException("the disk is full"));

        await WorkAsync(Confirm, Typed("1/8"));

        Assert.Equal("Not written, so it does not count: the disk is full", _shown[^1].Message);
        Assert.Equal("Top of the pocket to the bottom of the bar, at the left pin", _shown[^1].Prompt.Ask);
    }

    private static BenchIntent Confirm => new BenchIntent.Press();

    private static BenchIntent.Typed Typed(string text) => new(text);

    /// <summary>Works all of it off, then leaves.</summary>
    private async Task WorkAsync(params object[] happenings)
    {
        Standard standard = StandardText.Load(Encoding.UTF8.GetBytes(TestStandard.Text)).Standard!;
        SittingSession session = SittingSession.Begin(_journal, _time, Plan.For(standard, new Dictionary<string, string>()), "QG-1", "AB");
        LiveCaliper caliper = new("none", ReadingSource.Typed, _time);
        BenchLoop loop = new(session, caliper, _ => "record", _ => { }, _time, "");
        IBenchFace face = Substitute.For<IBenchFace>();
        face.When(each => each.Post(Arg.Any<BenchModel>())).Do(call => _shown.Add(call.Arg<BenchModel>()));
        face.When(each => each.Bell(Arg.Any<int>())).Do(call => _bells.Add(call.Arg<int>()));
        foreach (object happened in happenings)
        {
            loop.Post(happened);
        }

        loop.Post(new BenchIntent.Stop());
        await loop.RunAsync(face, CancellationToken.None);
    }
}
