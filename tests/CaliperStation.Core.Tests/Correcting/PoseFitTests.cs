using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using MathNet.Numerics.Distributions;
using MathNet.Numerics.LinearAlgebra;

namespace CaliperStation.Core.Tests.Correcting;

public sealed class PoseFitTests
{
    [Fact]
    public void Poses_without_noise_are_found_to_a_nanometre()
    {
        Plan plan = Blouse.AllSeen().Plan();
        Random random = new(1);
        for (int coat = 0; coat < 50; coat++)
        {
            Synthetic synthetic = Synthetic.AllSeen(plan, random);
            synthetic.Displace(random, 3_000_000, 0.03);

            foreach (ItemPose pose in Advise.For(plan, synthetic.Read(), CorrectingSettings.For(plan.Standard)).Poses)
            {
                Pose there = synthetic.Poses[pose.Item];
                Assert.Empty(pose.Unseen);
                Assert.Equal(there.Right, pose.RightNanometres, 1.0);
                Assert.Equal(there.Up, pose.UpNanometres, 1.0);
                Assert.Equal(there.Turn * 26_000_000, pose.TurnMilliradians / 1000 * 26_000_000, 1.0);   // at an inch from the centre
            }
        }
    }

    /// <summary>The sum of n squared deviations in units of the covariance follows χ² with 3 n degrees of freedom.</summary>
    [Fact]
    public void Poses_with_noise_scatter_as_their_covariance_says()
    {
        const int Coats = 1000;
        Plan plan = Blouse.AllSeen().Plan();
        Random random = new(20_260);
        Dictionary<string, double> sums = plan.Items.ToDictionary(item => item.Id, _ => 0.0);
        for (int coat = 0; coat < Coats; coat++)
        {
            Synthetic synthetic = Synthetic.AllSeen(plan, random);
            synthetic.Displace(random, 2_000_000, 0.02);
            foreach (ItemPose pose in Poses(plan, synthetic.Read(random)))
            {
                Pose there = synthetic.Poses[pose.Item];
                Vector<double> off = Vector<double>.Build.DenseOfArray(
                    [pose.RightNanometres - there.Right, pose.UpNanometres - there.Up, (pose.TurnMilliradians / 1000 - there.Turn) * 1e9]);
                double[] scale = [1, 1, 1e9];   // turns in nanoradians, so that the matrix is well scaled
                Matrix<double> covariance = Matrix<double>.Build.Dense(3, 3, (i, j) => pose.Covariance[(3 * i) + j] * scale[i] * scale[j]);
                sums[pose.Item] += off * covariance.Inverse() * off;
            }
        }

        double low = ChiSquared.InvCDF(3 * Coats, 0.0005);
        double high = ChiSquared.InvCDF(3 * Coats, 0.9995);
        Assert.All(sums.Values, sum => Assert.InRange(sum, low, high));
    }

    [Fact]
    public void Directions_that_no_reading_sees_are_named_and_left_at_nothing()
    {
        Plan plan = Blouse.RackAndBadges().Plan();
        Dictionary<string, Measured> readings = new()
        {
            ["rack-low-left"] = Read(9),
            ["rack-low-right"] = Read(9),
            ["badge-2-gap"] = Read(10),
        };

        IReadOnlyList<ItemPose> poses = Poses(plan, readings);

        Assert.Equal(["rack", "badge", "badge-2"], poses.Select(pose => pose.Item));
        Assert.Equal(["right"], poses[0].Unseen);
        Assert.Equal(396_875, poses[0].UpNanometres, 1e-3);
        Assert.Equal(["right", "up", "turn"], poses[1].Unseen);
        Assert.Equal(["right", "up", "turn"], poses[2].Unseen);   // it is seen only against a badge that is not
        Assert.Equal((0, 0, 0), (poses[2].RightNanometres, poses[2].UpNanometres, poses[2].TurnMilliradians));
    }

    [Fact]
    public void A_diagonal_reading_alone_sees_neither_right_nor_up_by_itself()
    {
        Plan plan = new Blouse().Item("device", "collar", 64, 64, Blouse.P(0, 0))
            .Step("corner", "device", "collar", -23, -23, "up-right").Rule64("corner", RelationKind.Gap, 64, 2, "corner").Plan();

        Assert.Equal(["right", "up", "turn"], Poses(plan, new() { ["corner"] = Read(70) })[0].Unseen);
    }

    [Fact]
    public void A_point_stated_on_the_lower_item_is_used_instead_of_the_facing_one()
    {
        Blouse Coat(PlanePoint? fromAt) => new Blouse()
            .Item("lower", "pocket", 64, 64, Blouse.P(-16, 0), Blouse.P(16, 0)).Placed(0, 32)
            .Item("upper", "lower", 64, 64, Blouse.P(0, 0)).Placed(0, 80)
            .Step("low-left", "lower", "pocket", -32, -32, "up").Step("low-right", "lower", "pocket", 32, -32, "up")
            .Step("gap", "upper", "lower", 0, -32, "up", fromAt)
            .Rule64("low", RelationKind.Gap, 8, 2, "low-left", "low-right").Rule64("gap", RelationKind.Gap, 16, 2, "gap");
        Dictionary<string, Measured> readings = new() { ["low-left"] = Read(8), ["low-right"] = Read(12), ["gap"] = Read(16) };

        Assert.Equal(Blouse.L(2).Nanometres, Poses(Coat(null).Plan(), readings)[1].UpNanometres, 1e-3);
        Assert.Equal(Blouse.L(4).Nanometres, Poses(Coat(Blouse.P(32, 32)).Plan(), readings)[1].UpNanometres, 1e-3);
    }

    [Fact]
    public void A_range_without_a_nominal_sees_nothing_inside_and_counts_from_its_limit_outside()
    {
        Plan plan = new Blouse().Item("cord", "seam", 64, 64, Blouse.P(0, 0)).Step("drop", "cord", "seam", 0, 0, "down")
            .Add(new Relation("drop", RelationKind.Gap, ["drop"], [new Limits(Blouse.L(10), Blouse.L(20), null)], null, null, [], [], null, null)).Plan();

        Assert.Contains("up", Poses(plan, new() { ["drop"] = Read(19) })[0].Unseen);
        Assert.Equal(-Blouse.L(3).Nanometres, Poses(plan, new() { ["drop"] = Read(23) })[0].UpNanometres, 1e-3);
    }

    [Fact]
    public void Of_several_nominals_the_nearest_counts()
    {
        Limits near = Blouse.Around(RelationKind.Gap, 8, 2);
        Limits far = Blouse.Around(RelationKind.Gap, 16, 2);
        Plan plan = new Blouse().Item("badge", "pocket", 64, 64, Blouse.P(0, 0)).Step("gap", "badge", "pocket", 0, -32, "up")
            .Add(new Relation("gap", RelationKind.Gap, ["gap"], [near, far], null, null, [], [], null, null)).Plan();

        Assert.Equal(-Blouse.L(1).Nanometres, Poses(plan, new() { ["gap"] = Read(15) })[0].UpNanometres, 1e-3);
    }

    [Fact]
    public void A_pitch_counts_from_centre_to_centre_with_the_size_as_it_was_read()
    {
        Plan plan = new Blouse().Item("button", "edge", 40, 40, Blouse.P(0, 0)).Step("gap", "button", "edge", -20, 0, "right").Step("width", "button", "button", 0, 0, null)
            .Add(new Relation("pitch", RelationKind.Pitch, ["gap"], [Blouse.Around(RelationKind.Pitch, 100, 2)], null, null, [Blouse.L(20)], ["width"], null, null)).Plan();

        Assert.Equal(Blouse.L(5).Nanometres, Poses(plan, new() { ["gap"] = Read(74), ["width"] = Read(42) })[0].RightNanometres, 1e-3);
    }

    [Fact]
    public void A_reading_that_does_not_fit_the_rest_is_to_be_measured_again()
    {
        Plan plan = Blouse.AllSeen().Step("rack-low-middle", "rack", "pocket", 0, -24, "up").Step("rack-low-inner", "rack", "pocket", 48, -24, "up")
            .Rule64("more", RelationKind.Gap, 8, 2, "rack-low-middle", "rack-low-inner").Plan();
        Dictionary<string, Measured> readings = new()
        {
            ["rack-low-left"] = Read(8),
            ["rack-low-right"] = Read(8),
            ["rack-low-middle"] = Read(14),
            ["rack-low-inner"] = Read(8),
        };

        Assert.Equal(["rack-low-middle"], Advise.For(plan, readings, CorrectingSettings.For(plan.Standard)).Outliers);
    }

    [Fact]
    public void Nothing_is_doubted_while_every_rule_holds()
    {
        Plan plan = Blouse.AllSeen(12).Step("rack-low-middle", "rack", "pocket", 0, -24, "up").Rule64("more", RelationKind.Gap, 8, 12, "rack-low-middle").Plan();
        Dictionary<string, Measured> readings = new() { ["rack-low-left"] = Read(8), ["rack-low-right"] = Read(8), ["rack-low-middle"] = Read(14) };

        Assert.Empty(Advise.For(plan, readings, CorrectingSettings.For(plan.Standard)).Outliers);
    }

    private static Measured Read(long sixtyFourths) => new(ExactLength.From(Blouse.L(sixtyFourths)), Synthetic.Noise);

    /// <summary>Only the fit, without the search for moves.</summary>
    private static IReadOnlyList<ItemPose> Poses(Plan plan, Dictionary<string, Measured> readings)
    {
        CoatLayout layout = new(plan);
        IReadOnlyList<Relation> applying = new RelationEvaluation(plan, readings).Relations;
        LinearModel model = LinearModel.Of(plan, [.. plan.Steps.Select(step => SensitivityRow.For(plan, layout, step))], new ExpectedReadings(plan, applying, readings), readings);
        return PoseFit.Poses(model, PoseFit.Of(model));
    }
}
